//! Names the build after the content of everything that is served or decides what is served.

use std::collections::BTreeSet;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

fn main() {
    let mut files = BTreeSet::new();
    for folder in ["static", "templates", "server", "migrations", "seed"] {
        println!("cargo::rerun-if-changed={folder}");
        collect(Path::new(folder), &mut files);
    }
    let mut hasher = DefaultHasher::new();
    for file in files {
        file.hash(&mut hasher);
        if let Ok(bytes) = std::fs::read(&file) {
            bytes.hash(&mut hasher);
        }
    }
    println!("cargo::rustc-env=UNDERLAMP_BUILD={:012x}", hasher.finish() & 0xffff_ffff_ffff);
}

fn collect(folder: &Path, files: &mut BTreeSet<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            collect(&path, files);
        } else {
            files.insert(path);
        }
    }
}
