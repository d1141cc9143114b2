//! The command as its users meet it: run as a program of its own.

mod bench;
mod contrast;
mod decisions;
mod draws;
mod editors;
mod ends;
mod fluid;
mod guide;
mod interrupted;
mod other_gas;
mod pages;
#[cfg(feature = "parquet")]
mod parquet;
mod reference;
mod results;
mod sensitivity;
mod size;
mod strange;
mod sweep;
mod watched;
