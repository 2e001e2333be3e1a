//! What the diary says went wrong, as an exit code and words.

use diary::Error;

use crate::exit::{Exit, Failure};

impl From<Error> for Failure {
    fn from(e: Error) -> Self {
        let code = match &e {
            Error::NoDiary(_) | Error::NoFile(_) => Exit::Missing,
            Error::Refused(_) => Exit::Usage,
            Error::Unreadable(_) => Exit::Diary,
            Error::Unwritable(_) => Exit::Write,
            Error::Bug(_) => return Self::bug(e),
        };
        Self::new(code, e.to_string())
    }
}
