//! The folder where the books and the parish live.
