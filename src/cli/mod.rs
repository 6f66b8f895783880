//! The commands: parse, string the stages together, print, exit code.
