//! A download under way: the half that has come, and what the server called it.

use std::fs::{File, OpenOptions};
use std::path::{Path, PathBuf};

use crate::exit::Failure;
use crate::outside::files;

/// What a server called one version of a file: address, ETag, date of last change.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Version {
    pub url: String,
    pub etag: Option<String>,
    pub modified: Option<String>,
}

impl Version {
    /// The word by which the same version can be asked for again: a strong ETag, else the date (RFC 9110, 13.1.5).
    pub fn strong(&self) -> Option<&str> {
        let etag = self.etag.as_deref().filter(|e| !e.starts_with("W/"));
        etag.or(self.modified.as_deref())
    }

    /// Reads the note beside a file; only of the same address.
    fn read(path: &Path, url: &str) -> Option<Self> {
        let text = std::fs::read_to_string(path).ok()?;
        let line = |name: &str| {
            text.lines().find_map(|l| l.strip_prefix(name)).map(|v| v.trim().to_owned())
        };
        let version =
            Self { url: line("URL:")?, etag: line("ETag:"), modified: line("Last-Modified:") };
        (version.url == url).then_some(version)
    }

    fn write(&self, path: &Path) -> Result<(), Failure> {
        let mut text = format!("URL: {}\n", self.url);
        for (name, value) in [("ETag", &self.etag), ("Last-Modified", &self.modified)] {
            if let Some(value) = value {
                text += &format!("{name}: {value}\n");
            }
        }
        files::replace(path, text)
    }
}

/// The files of one download: `ID.csv`, `ID.csv.part`, and a note of the version beside each.
pub struct PartialFile {
    path: PathBuf,
    url: String,
}

impl PartialFile {
    pub fn beside(path: &Path, url: &str) -> Self {
        Self { path: path.to_owned(), url: url.to_owned() }
    }

    fn named(&self, ending: &str) -> PathBuf {
        let mut name = self.path.as_os_str().to_owned();
        name.push(ending);
        PathBuf::from(name)
    }

    fn half(&self) -> PathBuf {
        self.named(".part")
    }

    /// Bytes that have come of a version that can be asked for again.
    pub fn begun(&self) -> Option<(u64, Version)> {
        let version = Version::read(&self.named(".part.version"), &self.url)?;
        let length = std::fs::metadata(self.half()).ok()?.len();
        (length > 0 && version.strong().is_some()).then_some((length, version))
    }

    /// The version of the whole file, while it is there.
    pub fn whole(&self) -> Option<Version> {
        self.path.is_file().then(|| Version::read(&self.named(".version"), &self.url))?
    }

    /// Begins anew.
    pub fn begin(&self, version: &Version) -> Result<File, Failure> {
        version.write(&self.named(".part.version"))?;
        File::create(self.half()).map_err(|e| files::unwritable(&self.half(), &e))
    }

    /// Goes on behind what has come.
    pub fn go_on(&self) -> Result<File, Failure> {
        let opened = OpenOptions::new().append(true).open(self.half());
        opened.map_err(|e| files::unwritable(&self.half(), &e))
    }

    /// What has come.
    pub fn bytes(&self) -> Result<Vec<u8>, Failure> {
        files::read_record(&self.half())
    }

    /// Throws the half away.
    pub fn discard(&self) {
        let _ = std::fs::remove_file(self.half());
        let _ = std::fs::remove_file(self.named(".part.version"));
    }

    /// Puts the whole in its place. The note follows the file: were it first, a crash between the two would let an old
    /// file pass for the new version for ever.
    pub fn finish(&self, version: &Version) -> Result<(), Failure> {
        std::fs::rename(self.half(), &self.path).map_err(|e| files::unwritable(&self.path, &e))?;
        self.discard();
        version.write(&self.named(".version"))
    }
}
