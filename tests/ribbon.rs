//! Tests of the stage `ribbon`: the optimum against plain enumeration, and plans as a priest reads them.

mod choices;
mod horizon;
mod optimum;
pub mod plans;
mod programme;
pub mod services;
