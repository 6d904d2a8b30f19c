//! The file of a backup or an export: a gzip-compressed tar, written with checksums, read with suspicion.

use crate::clock::Moment;
use crate::error::StartError;
use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{BufReader, BufWriter, Read, Write};
use std::path::{Component, Path, PathBuf};

const MANIFEST: &str = "manifest.json";
const FORMAT: u32 = 1;
/// Left free on the disk after unpacking, in bytes.
const ROOM_TO_BREATHE: u64 = 64 * 1024 * 1024;
/// A manifest larger than this is no manifest of ours.
const LARGEST_MANIFEST: u64 = 64 * 1024 * 1024;

pub struct Entry {
    pub name: String,
    pub path: PathBuf,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Manifest {
    format: u32,
    made_at: i64,
    files: BTreeMap<String, Seal>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Seal {
    bytes: u64,
    sha256: String,
}

/// Writes the archive and syncs it to disk. Gives back how many files it holds.
pub fn write(to: &Path, entries: &[Entry], now: Moment) -> Result<usize, StartError> {
    let fail = || StartError::file("This cannot be written:", to);
    let mut files = BTreeMap::new();
    for entry in entries {
        files.insert(entry.name.clone(), seal(&entry.path)?);
    }
    let manifest = Manifest { format: FORMAT, made_at: now.0, files };
    let text = serde_json::to_vec_pretty(&manifest).map_err(|cause| StartError::Said(cause.to_string()))?;

    let out = BufWriter::new(private_file(to).map_err(fail())?);
    let mut tar = tar::Builder::new(GzEncoder::new(out, Compression::default()));
    let mut head = tar::Header::new_gnu();
    head.set_size(text.len() as u64);
    head.set_mode(0o600);
    head.set_cksum();
    tar.append_data(&mut head, MANIFEST, text.as_slice()).map_err(fail())?;
    for entry in entries {
        tar.append_path_with_name(&entry.path, &entry.name).map_err(fail())?;
    }
    let zip = tar.into_inner().map_err(fail())?;
    let mut out = zip.finish().map_err(fail())?;
    out.flush().map_err(fail())?;
    out.get_ref().sync_all().map_err(fail())?;
    Ok(entries.len())
}

fn seal(path: &Path) -> Result<Seal, StartError> {
    let fail = || StartError::file("Cannot read", path);
    let mut file = BufReader::new(File::open(path).map_err(fail())?);
    copy_sealed(&mut file, &mut std::io::sink()).map_err(fail())
}

/// Copies everything and says what went through.
fn copy_sealed(from: &mut impl Read, to: &mut impl Write) -> std::io::Result<Seal> {
    let mut hasher = Sha256::new();
    let mut bytes = 0_u64;
    let mut piece = vec![0_u8; 64 * 1024];
    loop {
        let n = from.read(&mut piece)?;
        if n == 0 {
            return Ok(Seal { bytes, sha256: hex::encode(hasher.finalize()) });
        }
        hasher.update(&piece[..n]);
        to.write_all(&piece[..n])?;
        bytes += n as u64;
    }
}

/// Unpacks an archive into an empty folder, checking every file against the manifest.
///
/// `called` begins each refusal: `{called}: a file is missing. Nothing was changed.`
///
/// Errors, each saying what is wrong: no archive of ours, cut short, a file changed, added or missing, no room for it.
pub fn read(file: &Path, called: &str, into: &Path) -> Result<usize, StartError> {
    let opened = File::open(file).map_err(StartError::file("This cannot be read:", file))?;
    let refuse = |say: String| StartError::Said(format!("{called}: {say}. Nothing was changed."));
    let mut tar = tar::Archive::new(GzDecoder::new(BufReader::new(opened)));
    let mut entries = tar.entries().map_err(|cause| refuse(cause.to_string()))?;
    let first =
        entries.next().ok_or_else(|| refuse("it is empty".into()))?.map_err(|cause| refuse(cause.to_string()))?;
    let mut awaited = read_manifest(first).map_err(refuse)?.files;
    let count = awaited.len();
    check_room(&awaited, into).map_err(refuse)?;
    for entry in entries {
        let mut entry = entry.map_err(|cause| refuse(cause.to_string()))?;
        let name = entry.path().ok().and_then(|path| path.to_str().map(str::to_owned)).unwrap_or_default();
        let seal = awaited.remove(&name).ok_or_else(|| refuse(format!("‘{name}’ is not in its list")))?;
        if entry.size() != seal.bytes {
            return Err(refuse(format!("‘{name}’ is not as long as its list says")));
        }
        let target = inside(into, &name).ok_or_else(|| refuse(format!("‘{name}’ leads out of the folder")))?;
        let found = unpack(&mut entry, &target).map_err(|cause| match cause.kind() {
            std::io::ErrorKind::StorageFull => StartError::DiskFull { file: target.clone() },
            _ => refuse(format!("‘{name}’: {cause}")),
        })?;
        if found != seal {
            return Err(refuse(format!("‘{name}’ is not what was saved")));
        }
    }
    if let Some(name) = awaited.keys().next() {
        return Err(refuse(format!("‘{name}’ is missing")));
    }
    Ok(count)
}

fn read_manifest(entry: tar::Entry<'_, impl Read>) -> Result<Manifest, String> {
    if entry.path().ok().as_deref() != Some(Path::new(MANIFEST)) {
        return Err("it does not begin with a list of its files".into());
    }
    let mut text = Vec::new();
    entry.take(LARGEST_MANIFEST).read_to_end(&mut text).map_err(|cause| cause.to_string())?;
    let manifest: Manifest = serde_json::from_slice(&text).map_err(|cause| cause.to_string())?;
    if manifest.format != FORMAT {
        return Err(format!("it has format {}, and this Underlamp reads format {FORMAT}", manifest.format));
    }
    Ok(manifest)
}

/// Said before anything is unpacked: a file that claims to be enormous fills no disk.
fn check_room(files: &BTreeMap<String, Seal>, into: &Path) -> Result<(), String> {
    let needed = files.values().fold(ROOM_TO_BREATHE, |sum, seal| sum.saturating_add(seal.bytes));
    match fs4::available_space(into) {
        Ok(free) if free < needed => {
            Err(format!("it needs {} MB of room, and {} MB are free", needed / 1_000_000, free / 1_000_000))
        }
        // Where the room is not told, the disk itself will say.
        Ok(_) | Err(_) => Ok(()),
    }
}

/// The place of a name below a folder; `None` where it would lead elsewhere.
fn inside(folder: &Path, name: &str) -> Option<PathBuf> {
    let path = Path::new(name);
    let plain = path.components().all(|part| matches!(part, Component::Normal(_)));
    (plain && !name.is_empty()).then(|| folder.join(path))
}

fn unpack(entry: &mut impl Read, target: &Path) -> std::io::Result<Seal> {
    if let Some(parent) = target.parent() {
        std::fs::create_dir_all(parent)?;
    }
    let mut out = private_file(target)?;
    let seal = copy_sealed(entry, &mut out)?;
    out.sync_all()?;
    Ok(seal)
}

/// Readable by its owner only: there are keys among the files.
fn private_file(target: &Path) -> std::io::Result<File> {
    let mut options = File::options();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(target)
}
