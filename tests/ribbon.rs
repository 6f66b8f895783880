//! Tests of the stage `ribbon`: the optimum against plain enumeration, and plans as a priest reads them.

mod bound;
mod choices;
mod horizon;
mod optimum;
pub mod plans;
mod programme;
pub mod services;
