//! Cases against published numbers, closed forms and independent solvers.
