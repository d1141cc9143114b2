//! The `pressfed` command.
fn main() {}
