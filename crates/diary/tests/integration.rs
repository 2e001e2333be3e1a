//! The diary by itself.
