//! The command as its users meet it: run as a program of its own.

mod bench;
mod ends;
mod help_snapshot;
