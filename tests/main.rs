//! Tests of the whole: the built program, the examples, and the house rules.

mod tidy;
