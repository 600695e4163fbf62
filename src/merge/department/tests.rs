//! Tests of merging whole departments.
