//! Writes `VALIDATION.md`.
#![allow(clippy::print_stdout)]
fn main() {
    for s in validation::cases::all() {
        for c in &s.cases {
            println!("{}", c.title);
            match &c.figures {
                Ok(f) => {
                    for f in f {
                        println!(
                            "  {} {} {} {} {}",
                            f.quantity,
                            validation::text::expected(f),
                            validation::text::got(f),
                            validation::text::error(f),
                            f.is_inside()
                        );
                    }
                }
                Err(e) => println!("  {e}"),
            }
        }
    }
}
