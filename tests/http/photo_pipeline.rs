//! Photos from bytes to shelf. References outside the project:
//! - tags: ExifTool (`exiftool`, Debian package libimage-exiftool-perl) writes and reads all metadata here;
//! - turning upright: `data/upright-*.png`, made by Pillow's `ImageOps.exif_transpose` (`data/make_with_pillow.py`);
//! - image formats: ITU-T T.81 (JPEG), W3C PNG third edition, RFC 9649 (WebP), ISO/IEC 14496-12 (file type box);
//! - resuming: tus 1.0 core protocol (the offset rules).

mod support {
    use std::fs;
    use std::io::Cursor;
    use std::process::Command;

    use image::codecs::webp::WebPEncoder;
    use image::{DynamicImage, ImageFormat};
    use tempfile::tempdir;
    use underlamp::photos::pipeline::Format;

    pub type Tags = serde_json::Map<String, serde_json::Value>;

    pub const BLOCKS: &[u8] = include_bytes!("data/blocks.png");
    pub const PROGRESSIVE: &[u8] = include_bytes!("data/progressive.jpg");
    pub const CMYK: &[u8] = include_bytes!("data/cmyk.jpg");
    /// Stands in every piece of metadata that must not survive.
    pub const SECRET: &str = "Secret-7c1f";

    pub fn decode(bytes: &[u8]) -> DynamicImage {
        image::load_from_memory(bytes).expect("a picture")
    }

    pub fn encode(picture: &DynamicImage, format: Format) -> Vec<u8> {
        let mut out = Cursor::new(Vec::new());
        match format {
            Format::Jpeg => picture.write_to(&mut out, ImageFormat::Jpeg),
            Format::Png => picture.write_to(&mut out, ImageFormat::Png),
            Format::WebP => picture.write_with_encoder(WebPEncoder::new_lossless(&mut out)),
        }
        .expect("encodes");
        out.into_inner()
    }

    pub fn blocks(format: Format) -> Vec<u8> {
        encode(&decode(BLOCKS), format)
    }

    /// Writes the same tags into each picture with ExifTool. `-m` lets it pass over its own minor objections.
    pub fn tag<const N: usize>(pictures: [(Format, Vec<u8>); N], tags: &[&str]) -> [Vec<u8>; N] {
        let dir = tempdir().unwrap();
        let paths = pictures.map(|(format, bytes)| {
            let path = dir.path().join(format!("photo.{}", format.extension()));
            fs::write(&path, bytes).unwrap();
            path
        });
        let data = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/http/data");
        let mut exiftool = Command::new("exiftool");
        exiftool.args(["-q", "-m", "-overwrite_original"]).args(tags).args(&paths).current_dir(data);
        let done = exiftool.output().expect("these tests need exiftool (Debian: libimage-exiftool-perl)");
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        paths.map(|path| fs::read(path).unwrap())
    }

    /// All that ExifTool finds in each picture, as `group:tag` → value, unknown and embedded tags included.
    pub fn tags(pictures: &[&[u8]]) -> Vec<Tags> {
        let dir = tempdir().unwrap();
        let mut exiftool = Command::new("exiftool");
        exiftool.args(["-j", "-G1", "-a", "-u", "-ee", "-n"]);
        for (number, picture) in pictures.iter().enumerate() {
            let path = dir.path().join(number.to_string());
            fs::write(&path, picture).unwrap();
            exiftool.arg(path);
        }
        let read = exiftool.output().expect("these tests need exiftool (Debian: libimage-exiftool-perl)");
        serde_json::from_slice(&read.stdout).unwrap()
    }

    pub fn orientation(tags: &Tags) -> Option<u64> {
        tags.get("IFD0:Orientation").and_then(serde_json::Value::as_u64)
    }

    /// A JPEG segment (T.81 B.1.1.4): marker, length that counts itself, contents.
    pub fn segment(marker: u8, contents: &[u8]) -> Vec<u8> {
        let length = u16::try_from(contents.len() + 2).unwrap().to_be_bytes();
        [&[0xFF, marker], &length[..], contents].concat()
    }

    /// An EXIF block whose private directory holds a maker note (CIPA DC-008: tags 0x8769 and 0x927C).
    pub fn exif_with_maker_note(note: &[u8]) -> Vec<u8> {
        let mut exif = b"Exif\0\0MM\0\x2A\0\0\0\x08\0\x01\x87\x69\0\x04\0\0\0\x01\0\0\0\x1A\0\0\0\0".to_vec();
        exif.extend_from_slice(b"\0\x01\x92\x7C\0\x07");
        exif.extend_from_slice(&u32::try_from(note.len()).unwrap().to_be_bytes());
        exif.extend_from_slice(b"\0\0\0\x2C\0\0\0\0");
        exif.extend_from_slice(note);
        exif
    }

    /// A PNG chunk with its CRC (PNG third edition, 5.3).
    pub fn chunk(kind: &[u8; 4], contents: &[u8]) -> Vec<u8> {
        let mut crc = flate2::Crc::new();
        crc.update(kind);
        crc.update(contents);
        let length = u32::try_from(contents.len()).unwrap().to_be_bytes();
        [&length[..], kind, contents, &crc.sum().to_be_bytes()].concat()
    }

    pub fn contains(bytes: &[u8], needle: &[u8]) -> bool {
        bytes.windows(needle.len()).any(|window| window == needle)
    }
}

mod pictures {
    use std::io::{Cursor, Write};

    use flate2::{Compression, write::ZlibEncoder};
    use image::codecs::jpeg::JpegEncoder;
    use image::{DynamicImage, GenericImageView, ImageDecoder, ImageEncoder, ImageReader, Rgba};
    use proptest::prelude::*;
    use underlamp::photos::pipeline::*;

    use super::support::*;

    /// Every kind of metadata that ExifTool can write, then by hand what it cannot.
    fn sent_with_everything(format: Format) -> Vec<u8> {
        let bare = match format {
            Format::Jpeg => {
                let jpeg = blocks(format);
                let maker = segment(0xE1, &exif_with_maker_note(format!("Maker\0{SECRET}").as_bytes()));
                [&jpeg[..2], &maker, &jpeg[2..]].concat()
            }
            Format::Png | Format::WebP => blocks(format),
        };
        let secret = |tag: &str| format!("-{tag}={SECRET}");
        let mut written = vec![
            "-Orientation#=6".to_owned(),
            "-GPSLatitude=48.1".to_owned(),
            "-GPSLatitudeRef=N".to_owned(),
            "-XMP-exif:GPSLongitude=11.5".to_owned(),
            "-DateTimeOriginal=2026:01:02 03:04:05".to_owned(),
            secret("Artist"),
            secret("UserComment"),
            secret("SerialNumber"),
            secret("XMP-dc:Creator"),
            secret("XMP-iptcExt:PersonInImage"),
        ];
        match format {
            Format::Jpeg => {
                written.extend([secret("Comment"), secret("IPTC:City"), "-ThumbnailImage<=cmyk.jpg".to_owned()]);
            }
            Format::Png => {
                written.extend([secret("PNG:Author"), "-PNG:ModifyDate=2026:01:02 03:04:05".to_owned()]);
            }
            Format::WebP => {}
        }
        let written: Vec<&str> = written.iter().map(String::as_str).collect();
        let [tagged] = tag([(format, bare)], &written);
        let tagged = match format {
            Format::Jpeg => {
                let pictures = segment(0xE2, format!("MPF\0MM\0*{SECRET}").as_bytes());
                let thumbnail = segment(0xE0, format!("JFXX\0{SECRET}").as_bytes());
                [&tagged[..2], &pictures, &thumbnail, &tagged[2..]].concat()
            }
            Format::Png | Format::WebP => tagged,
        };
        [tagged, blocks(Format::Jpeg), SECRET.as_bytes().to_vec()].concat()
    }

    fn assert_harmless(tags: &Tags) {
        for (name, value) in tags {
            let harmless = match name.split_once(':') {
                None => name == "SourceFile",
                Some(("ExifTool" | "System" | "JFIF" | "RIFF" | "PNG-pHYs", tag)) => tag != "Warning",
                Some(("File", tag)) => tag != "Comment",
                Some(("Composite", tag)) => ["ImageSize", "Megapixels"].contains(&tag),
                Some(("IFD0", tag)) => tag == "Orientation",
                Some(("PNG", tag)) => {
                    ["ImageWidth", "ImageHeight", "BitDepth", "ColorType", "Compression", "Filter", "Interlace"]
                        .contains(&tag)
                }
                Some(_) => false,
            };
            assert!(harmless, "{name} = {value}");
            assert!(!value.to_string().contains(SECRET), "{name} = {value}");
        }
    }

    #[test]
    fn no_place_person_or_second_picture_survives_in_any_stored_picture() {
        for format in Format::ALL {
            let sent = sent_with_everything(format);
            let stored = process(&sent).unwrap();
            assert_eq!(stored.format, format);
            let pictures = [&sent[..], &stored.original, &stored.upright, &stored.thumb];
            let tags = tags(&pictures);
            for name in ["GPS:GPSLatitude", "XMP-exif:GPSLongitude", "IFD0:Artist", "IFD0:Orientation"] {
                assert!(tags[0].contains_key(name), "{format:?} was sent without {name}");
            }
            for (picture, tags) in pictures.iter().zip(&tags).skip(1) {
                assert!(!contains(picture, SECRET.as_bytes()));
                assert_harmless(tags);
            }
            assert_eq!(tags[1..].iter().map(orientation).collect::<Vec<_>>(), [Some(6), None, None]);
        }
    }

    #[test]
    fn a_comment_between_two_scans_is_removed_and_the_scans_are_kept() {
        let second_scan = PROGRESSIVE.windows(2).rposition(|pair| pair == [0xFF, 0xDA]).unwrap();
        let comment = segment(0xFE, SECRET.as_bytes());
        let sent = [&PROGRESSIVE[..second_scan], &comment, &PROGRESSIVE[second_scan..]].concat();
        assert_eq!(process(&sent).unwrap().original, PROGRESSIVE);
    }

    #[test]
    fn the_thumbnail_inside_a_jfif_header_is_removed() {
        let jpeg = blocks(Format::Jpeg);
        let length = usize::from(jpeg[5]) + 2;
        assert_eq!(&jpeg[6..11], b"JFIF\0");
        // T.871 10.1: two bytes of thumbnail size, then three bytes a pixel.
        let header = [b"JFIF\0\x01\x02\0\0\x01\0\x01\x02\x01".as_slice(), b"Secret"].concat();
        let sent = [&jpeg[..2], &segment(0xE0, &header), &jpeg[2 + length..]].concat();
        let stored = process(&sent).unwrap().original;
        assert!(!contains(&stored, b"Secret"));
        assert_eq!(&stored[6..20], b"JFIF\0\x01\x02\0\0\x01\0\x01\0\0");
    }

    fn assorted() -> Vec<Vec<u8>> {
        let deep = DynamicImage::ImageRgba16(image::ImageBuffer::from_fn(20, 10, |x, y| {
            Rgba([x as u16 * 3000, y as u16 * 6000, 40_000, 65_535 - x as u16 * 2000])
        }));
        let mut sent: Vec<_> = Format::ALL.into_iter().map(blocks).collect();
        sent.extend([PROGRESSIVE.to_vec(), CMYK.to_vec(), encode(&deep, Format::Png)]);
        sent.push(encode(&DynamicImage::from(decode(BLOCKS).into_luma8()), Format::Jpeg));
        sent.push(encode(&DynamicImage::from(deep.into_rgba8()), Format::WebP));
        sent.extend(Format::ALL.into_iter().map(sent_with_everything));
        sent
    }

    #[test]
    fn the_stored_original_decodes_to_the_very_pixels_that_were_sent() {
        for sent in assorted() {
            let stored = process(&sent).unwrap();
            assert!(decode(&stored.original) == decode(&sent), "{:?}", stored.format);
        }
    }

    #[test]
    fn a_stored_original_sent_again_is_stored_unchanged() {
        for sent in assorted() {
            let once = process(&sent).unwrap();
            assert_eq!(process(&once.original).unwrap(), once);
        }
    }

    #[test]
    fn all_eight_orientations_come_out_as_the_reference_library_turns_them() {
        for number in 1..=8u64 {
            let path = format!("{}/tests/http/data/upright-{number}.png", env!("CARGO_MANIFEST_DIR"));
            let expected = image::open(path).unwrap();
            let bare = Format::ALL.map(|format| (format, blocks(format)));
            let sent = tag(bare, &[&format!("-Orientation#={number}")]);
            let stored = sent.map(|sent| process(&sent).unwrap());
            let pictures: Vec<_> = stored.iter().flat_map(|stored| [&stored.original[..], &stored.upright]).collect();
            let seen: Vec<_> = tags(&pictures).iter().map(orientation).collect();
            assert_eq!(seen, [(number != 1).then_some(number), None].repeat(3));
            for stored in stored {
                assert_eq!((stored.size.width, stored.size.height), expected.dimensions());
                assert_eq!(facts(&stored.original), Ok(Facts { format: stored.format, size: stored.size }));
                assert_same_blocks(&decode(&stored.upright), &expected, number);
                assert_same_blocks(&decode(&stored.thumb), &expected, number);
            }
        }
    }

    fn assert_same_blocks(seen: &DynamicImage, expected: &DynamicImage, orientation: u64) {
        assert_eq!(seen.dimensions(), expected.dimensions());
        let (width, height) = expected.dimensions();
        for (x, y) in (8..width).step_by(16).flat_map(|x| (8..height).step_by(16).map(move |y| (x, y))) {
            let (one, other) = (seen.get_pixel(x, y), expected.get_pixel(x, y));
            let far = one.0.iter().zip(other.0).any(|(a, b)| a.abs_diff(b) > 24);
            assert!(!far, "orientation {orientation}, at {x},{y}: {one:?} instead of {other:?}");
        }
    }

    #[test]
    fn the_colour_profile_stays_with_the_original() {
        let profile = vec![7; 70_000];
        let mut sent = Vec::new();
        let mut encoder = JpegEncoder::new(&mut sent);
        encoder.set_icc_profile(profile.clone()).unwrap();
        encoder.encode_image(&decode(BLOCKS)).unwrap();
        let stored = process(&sent).unwrap();
        let mut kept =
            ImageReader::new(Cursor::new(stored.original)).with_guessed_format().unwrap().into_decoder().unwrap();
        assert_eq!(kept.icc_profile().unwrap(), Some(profile));
    }

    #[test]
    fn large_pictures_are_shrunk_in_proportion_and_small_ones_left_as_they_are() {
        let wide = DynamicImage::new_rgb8(3000, 1500);
        let [sent] = tag([(Format::Jpeg, encode(&wide, Format::Jpeg))], &["-Orientation#=8"]);
        let stored = process(&sent).unwrap();
        assert_eq!(stored.size, Size { width: 1500, height: 3000 });
        assert_eq!(stored.upright_size, Size { width: 1000, height: 2000 });
        assert_eq!(decode(&stored.upright).dimensions(), (1000, 2000));
        assert_eq!(decode(&stored.thumb).dimensions(), (240, 480));
        let line = process(&encode(&DynamicImage::new_rgb8(9000, 1), Format::Png)).unwrap();
        assert_eq!(decode(&line.thumb).dimensions(), (480, 1));
        let dot = process(&encode(&DynamicImage::new_rgb8(1, 1), Format::Png)).unwrap();
        assert_eq!(decode(&dot.thumb).dimensions(), (1, 1));
    }

    #[test]
    fn what_is_transparent_becomes_white() {
        let clear = DynamicImage::new_rgba8(8, 8);
        let stored = process(&encode(&clear, Format::Png)).unwrap();
        assert!(decode(&stored.upright).into_rgb8().pixels().all(|pixel| pixel.0 == [255; 3]));
    }

    fn png_header(width: u32, height: u32) -> Vec<u8> {
        let header = [&width.to_be_bytes()[..], &height.to_be_bytes(), &[1, 0, 0, 0, 0]].concat();
        [&b"\x89PNG\r\n\x1A\n"[..], &chunk(b"IHDR", &header)].concat()
    }

    /// Announces `width` by `height`, but holds far fewer zeros, so that only the header can say 'too many'.
    fn hollow_png(width: u32, height: u32) -> Vec<u8> {
        let mut zeros = ZlibEncoder::new(Vec::new(), Compression::best());
        zeros.write_all(&vec![0; 4 << 20]).unwrap();
        [png_header(width, height), chunk(b"IDAT", &zeros.finish().unwrap()), chunk(b"IEND", b"")].concat()
    }

    #[test]
    fn too_many_pixels_are_refused_from_the_header_alone() {
        assert_eq!(process(&hollow_png(50_000, 50_000)), Err(Refusal::TooManyPixels));
        assert_eq!(process(&hollow_png(u32::MAX >> 1, u32::MAX >> 1)), Err(Refusal::TooManyPixels));
        assert_eq!(process(&hollow_png(8000, 8001)), Err(Refusal::TooManyPixels));
        assert_eq!(process(&hollow_png(8000, 8000)), Err(Refusal::Damaged));
        let mut jpeg = blocks(Format::Jpeg);
        let frame = jpeg.windows(2).position(|pair| pair == [0xFF, 0xC0]).unwrap();
        jpeg[frame + 5..frame + 9].fill(0xFF);
        assert_eq!(process(&jpeg), Err(Refusal::TooManyPixels));
    }

    #[test]
    fn what_is_no_photo_is_refused_with_its_reason() {
        let foreign = |kind| Err(Refusal::Unsupported(kind));
        let moving = [png_header(1, 1), chunk(b"acTL", &[0; 8]), chunk(b"IEND", b"")].concat();
        let cases: [(&[u8], Result<Pictures, Refusal>); 12] = [
            (b"", Err(Refusal::NotAPicture)),
            (b"torque list.jpg: 62 Nm", Err(Refusal::NotAPicture)),
            (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", foreign(Foreign::Heic)),
            (b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic", foreign(Foreign::Heic)),
            (b"\0\0\0\x18ftypavif\0\0\0\0mif1avif", foreign(Foreign::Avif)),
            (b"\0\0\0\x18ftypisom\0\0\0\0isommp42", foreign(Foreign::Film)),
            (b"GIF89a\x01\0\x01\0\0\0\0;", foreign(Foreign::Gif)),
            (b"II*\0\x08\0\0\0", foreign(Foreign::Tiff)),
            (&moving, foreign(Foreign::Animation)),
            (b"\xFF\xD8\xFF", Err(Refusal::Truncated)),
            (b"\xFF\xD8\xFF\xD9", Err(Refusal::Damaged)),
            (&vec![0xFF; 41 << 20], Err(Refusal::TooLarge)),
        ];
        for (sent, expected) in cases {
            assert_eq!(process(sent), expected, "{:?}", &sent[..sent.len().min(16)]);
        }
        assert!(Refusal::Unsupported(Foreign::Heic).to_string().contains("'Most compatible'"));
    }

    #[test]
    fn a_picture_cut_short_anywhere_is_refused() {
        for sent in [PROGRESSIVE.to_vec(), blocks(Format::Jpeg), blocks(Format::Png), blocks(Format::WebP)] {
            for length in 12..sent.len() {
                assert_eq!(process(&sent[..length]), Err(Refusal::Truncated), "at {length} of {}", sent.len());
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn bytes_at_random_never_panic(start in 0..5usize, noise in prop::collection::vec(any::<u8>(), 0..600)) {
            let starts = [&b""[..], b"\xFF\xD8\xFF", b"\x89PNG\r\n\x1A\n", b"RIFF\x80\0\0\0WEBP", b"\0\0\0\x18ftyp"];
            let _ = process(&[starts[start], &noise].concat());
        }

        #[test]
        fn a_picture_with_bytes_changed_never_panics(
            which in 0..5usize,
            changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
        ) {
            let mut sent = match which {
                0 => PROGRESSIVE.to_vec(),
                1 => CMYK.to_vec(),
                2 => blocks(Format::Jpeg),
                3 => BLOCKS.to_vec(),
                _ => blocks(Format::WebP),
            };
            for (place, value) in changes {
                let place = place.index(sent.len());
                sent[place] = value;
            }
            let _ = process(&sent);
        }
    }
}

mod shelf {
    use std::fs;
    use std::io;
    use std::path::Path;
    use std::time::{Duration, SystemTime};

    use bytes::Bytes;
    use futures_util::{Stream, StreamExt, stream};
    use tempfile::{TempDir, tempdir};
    use underlamp::photos::pipeline::{Format, MAX_BYTES, Refusal};
    use underlamp::photos::shelf::*;

    use super::support::*;

    type Piece = Result<Bytes, &'static str>;

    struct Upload {
        dir: TempDir,
        shelf: PhotoShelf,
        sha: Sha256Hex,
        sent: Vec<u8>,
    }

    impl Upload {
        async fn of(sent: Vec<u8>) -> Self {
            let dir = tempdir().unwrap();
            let shelf = PhotoShelf::open(dir.path()).await.unwrap();
            Self { dir, shelf, sha: Sha256Hex::of(&sent), sent }
        }

        async fn begun(sent: Vec<u8>) -> Self {
            let upload = Self::of(sent).await;
            assert_eq!(upload.begin().await, upload.at(0));
            upload
        }

        async fn begin(&self) -> Standing {
            self.shelf.begin(&self.sha, self.sent.len() as u64).await.unwrap()
        }

        fn at(&self, offset: u64) -> Standing {
            Standing::Receiving { offset, length: self.sent.len() as u64 }
        }

        async fn send(&self, from: usize, to: usize) -> Result<Standing, ShelfError> {
            self.shelf.append(&self.sha, from as u64, pieces(&self.sent[from..to])).await
        }

        fn part(&self, ending: &str) -> std::path::PathBuf {
            self.dir.path().join(format!("parts/{}.{ending}", self.sha))
        }

        fn nothing_is_left_over(&self) -> bool {
            fs::read_dir(self.dir.path().join("parts")).unwrap().next().is_none()
        }
    }

    fn photo() -> Vec<u8> {
        PROGRESSIVE.to_vec()
    }

    fn pieces(bytes: &[u8]) -> impl Stream<Item = Piece> + Send + use<> {
        let pieces: Vec<Piece> = bytes.chunks(97).map(|piece| Ok(Bytes::copy_from_slice(piece))).collect();
        stream::iter(pieces)
    }

    async fn until_length(path: &Path, length: u64) {
        while fs::metadata(path).map_or(0, |about| about.len()) < length {
            tokio::time::sleep(Duration::from_millis(2)).await;
        }
    }

    #[test]
    fn a_name_is_a_lower_case_sha_256() {
        // FIPS 180-4 example: the digest of "abc".
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Sha256Hex::of(b"abc").as_str(), abc);
        assert!(Sha256Hex::parse(abc).is_ok());
        for wrong in ["", "../../etc/passwd", &abc[1..], &abc.to_uppercase(), &abc.replace('b', "/")] {
            assert_eq!(Sha256Hex::parse(wrong), Err(NotASha256), "{wrong}");
        }
    }

    #[tokio::test]
    async fn an_upload_goes_on_after_a_cut_and_a_restart() {
        let upload = Upload::begun(photo()).await;
        let cut = pieces(&upload.sent[..500]).chain(stream::iter([Err("Wi-Fi lost")]));
        let answer = upload.shelf.append(&upload.sha, 0, cut).await;
        assert!(matches!(answer, Err(ShelfError::Cut { have: 500, .. })), "{answer:?}");
        assert_eq!(upload.begin().await, upload.at(500));

        let restarted = PhotoShelf::open(upload.dir.path()).await.unwrap();
        assert_eq!(restarted.offset(&upload.sha).await.unwrap(), upload.at(500));
        let rest = restarted.append(&upload.sha, 500, pieces(&upload.sent[500..])).await.unwrap();
        assert!(rest.awaits_finish());
        let finished = restarted.finish(&upload.sha).await.unwrap();
        assert_eq!(finished.facts.format, Format::Jpeg);
        assert_eq!((finished.facts.size.width, finished.facts.size.height), (96, 64));
        for (kind, name) in
            [(Kind::Original, "original.jpg"), (Kind::Upright, "upright.jpg"), (Kind::Thumb, "thumb.jpg")]
        {
            let file = restarted.read(&upload.sha, kind).await.unwrap().unwrap();
            let place = format!("done/{}/{}/{name}", &upload.sha.as_str()[..2], upload.sha);
            assert_eq!(file.path, upload.dir.path().join(place));
            assert_eq!(fs::read(&file.path).unwrap().len() as u64, file.length);
            assert_eq!(file.media_type, "image/jpeg");
        }
        assert!(upload.nothing_is_left_over());
    }

    #[tokio::test]
    async fn a_wrong_offset_changes_nothing_and_tells_the_right_one() {
        let upload = Upload::begun(photo()).await;
        upload.send(0, 300).await.unwrap();
        for wrong in [0, 299, 301, 2000] {
            let answer = upload.send(wrong, wrong + 10).await;
            assert!(matches!(answer, Err(ShelfError::WrongOffset { have: 300 })), "{answer:?}");
        }
        assert_eq!(fs::read(upload.part("part")).unwrap(), upload.sent[..300]);
    }

    #[tokio::test]
    async fn an_upload_that_was_never_begun_is_refused() {
        let upload = Upload::of(photo()).await;
        assert!(matches!(upload.send(0, 10).await, Err(ShelfError::NotStarted)));
        assert!(matches!(upload.shelf.offset(&upload.sha).await, Err(ShelfError::NotStarted)));
        assert!(matches!(upload.shelf.finish(&upload.sha).await, Err(ShelfError::NotStarted)));
    }

    #[tokio::test]
    async fn the_newest_request_ends_an_older_one_which_saves_what_it_has() {
        let upload = Upload::begun(photo()).await;
        let (shelf, sha) = (upload.shelf.clone(), upload.sha.clone());
        let stalled = pieces(&upload.sent[..400]).chain(stream::pending());
        let older = tokio::spawn(async move { shelf.append(&sha, 0, stalled).await });
        until_length(&upload.part("part"), 400).await;

        assert_eq!(upload.send(400, 600).await.unwrap(), upload.at(600));
        assert!(matches!(older.await.unwrap(), Err(ShelfError::Superseded)));
        assert_eq!(fs::read(upload.part("part")).unwrap(), upload.sent[..600]);
    }

    #[tokio::test(flavor = "multi_thread", worker_threads = 4)]
    async fn many_requests_at_once_and_dropped_ones_never_corrupt_a_photo() {
        let upload = Upload::begun(photo()).await;
        let mut senders = tokio::task::JoinSet::new();
        for number in 0..6u64 {
            let (shelf, sha, sent) = (upload.shelf.clone(), upload.sha.clone(), upload.sent.clone());
            senders.spawn(async move {
                for round in 1.. {
                    let offset = match shelf.offset(&sha).await {
                        Ok(Standing::AlreadyHere) => return,
                        Ok(Standing::Receiving { offset, length }) if offset == length => {
                            let _ = shelf.finish(&sha).await;
                            continue;
                        }
                        Ok(Standing::Receiving { offset, .. }) => offset,
                        Err(_) => continue,
                    };
                    let send = shelf.append(&sha, offset, pieces(&sent[offset as usize..]));
                    // Some requests are dropped half-way, as when a phone goes away.
                    let patience = Duration::from_millis((number + round) % 5 * round);
                    let _ = tokio::time::timeout(patience, send).await;
                    tokio::time::sleep(Duration::from_millis(number)).await;
                }
            });
        }
        while let Some(ended) = senders.join_next().await {
            ended.unwrap();
        }
        assert_eq!(upload.begin().await, Standing::AlreadyHere);
        let stored = upload.shelf.read(&upload.sha, Kind::Original).await.unwrap().unwrap();
        assert_eq!(fs::read(stored.path).unwrap(), PROGRESSIVE);
    }

    #[tokio::test]
    async fn a_complete_upload_repeated_is_a_success() {
        let upload = Upload::begun(photo()).await;
        upload.send(0, upload.sent.len()).await.unwrap();
        assert!(upload.begin().await.awaits_finish());
        let first = upload.shelf.finish(&upload.sha).await.unwrap();
        assert_eq!(upload.shelf.finish(&upload.sha).await.unwrap(), first);
        assert_eq!(upload.begin().await, Standing::AlreadyHere);
        assert_eq!(upload.shelf.offset(&upload.sha).await.unwrap(), Standing::AlreadyHere);
        assert_eq!(upload.send(0, 10).await.unwrap(), Standing::AlreadyHere);
    }

    #[tokio::test]
    async fn an_incomplete_upload_is_not_finished_and_kept() {
        let upload = Upload::begun(photo()).await;
        upload.send(0, 100).await.unwrap();
        let answer = upload.shelf.finish(&upload.sha).await;
        assert!(matches!(answer, Err(ShelfError::Incomplete { have: 100, .. })), "{answer:?}");
        assert_eq!(upload.begin().await, upload.at(100));
    }

    #[tokio::test]
    async fn bytes_that_are_not_what_was_announced_are_thrown_away() {
        let mut upload = Upload::of(photo()).await;
        upload.sha = Sha256Hex::of(b"another photo");
        upload.begin().await;
        upload.send(0, upload.sent.len()).await.unwrap();
        assert!(matches!(upload.shelf.finish(&upload.sha).await, Err(ShelfError::WrongHash)));
        assert!(upload.nothing_is_left_over());
        assert_eq!(upload.begin().await, upload.at(0));
    }

    #[tokio::test]
    async fn a_file_that_is_no_picture_is_thrown_away_with_its_reason() {
        let upload = Upload::begun(b"a shopping list".to_vec()).await;
        upload.send(0, upload.sent.len()).await.unwrap();
        let answer = upload.shelf.finish(&upload.sha).await;
        assert!(matches!(answer, Err(ShelfError::Refused(Refusal::NotAPicture))), "{answer:?}");
        assert!(upload.nothing_is_left_over());
        assert_eq!(upload.shelf.read(&upload.sha, Kind::Thumb).await.unwrap(), None);
    }

    #[tokio::test]
    async fn more_bytes_than_announced_are_refused() {
        let upload = Upload::of(photo()).await;
        upload.shelf.begin(&upload.sha, 200).await.unwrap();
        let answer = upload.send(0, 300).await;
        assert!(matches!(answer, Err(ShelfError::TooLong { length: 200 })), "{answer:?}");
        assert!(fs::metadata(upload.part("part")).unwrap().len() <= 200);
    }

    #[tokio::test]
    async fn a_300_megabyte_photo_is_refused_before_a_byte_is_sent() {
        let upload = Upload::of(photo()).await;
        for length in [MAX_BYTES + 1, 300_000_000, u64::MAX] {
            let answer = upload.shelf.begin(&upload.sha, length).await;
            assert!(matches!(answer, Err(ShelfError::Refused(Refusal::TooLarge))), "{answer:?}");
        }
        assert!(upload.nothing_is_left_over());
    }

    #[tokio::test]
    async fn announcing_another_length_starts_over() {
        let upload = Upload::of(photo()).await;
        upload.shelf.begin(&upload.sha, 200).await.unwrap();
        upload.send(0, 150).await.unwrap();
        assert_eq!(upload.begin().await, upload.at(0));
    }

    #[tokio::test]
    async fn a_half_made_photo_from_before_a_kill_is_made_anew() {
        let upload = Upload::begun(photo()).await;
        upload.send(0, upload.sent.len()).await.unwrap();
        fs::create_dir(upload.part("making")).unwrap();
        fs::write(upload.part("making").join("original.png"), "half").unwrap();
        upload.shelf.finish(&upload.sha).await.unwrap();
        let stored = upload.shelf.read(&upload.sha, Kind::Original).await.unwrap().unwrap();
        assert_eq!(fs::read_dir(stored.path.parent().unwrap()).unwrap().count(), 3);
        assert!(upload.nothing_is_left_over());
    }

    #[tokio::test]
    async fn a_kill_between_shelving_and_tidying_leaves_a_finished_photo() {
        let upload = Upload::begun(photo()).await;
        upload.send(0, upload.sent.len()).await.unwrap();
        let first = upload.shelf.finish(&upload.sha).await.unwrap();
        fs::write(upload.part("part"), &upload.sent).unwrap();
        fs::write(upload.part("length"), upload.sent.len().to_string()).unwrap();
        let restarted = PhotoShelf::open(upload.dir.path()).await.unwrap();
        assert_eq!(upload.begin().await, Standing::AlreadyHere);
        assert_eq!(restarted.finish(&upload.sha).await.unwrap(), first);
        assert!(upload.nothing_is_left_over());
    }

    #[tokio::test]
    async fn a_kill_while_beginning_does_no_harm() {
        let upload = Upload::of(photo()).await;
        for (ending, left) in
            [("length", upload.sent.len().to_string()), ("length", String::new()), ("part", "x".to_owned())]
        {
            fs::write(upload.part(ending), left).unwrap();
            assert_eq!(upload.begin().await, upload.at(0));
            fs::remove_file(upload.part("part")).unwrap();
            fs::remove_file(upload.part("length")).unwrap();
        }
    }

    #[tokio::test]
    async fn the_sweep_takes_abandoned_uploads_and_leaves_the_others() {
        let upload = Upload::begun(photo()).await;
        fs::create_dir(upload.part("gone")).unwrap();
        let (earlier, later) =
            (SystemTime::now() - Duration::from_secs(60), SystemTime::now() + Duration::from_secs(60));
        assert_eq!(upload.shelf.sweep(earlier).await.unwrap(), 0);
        assert_eq!(upload.begin().await, upload.at(0));

        let (shelf, sha) = (upload.shelf.clone(), upload.sha.clone());
        let stalled = pieces(&upload.sent[..50]).chain(stream::pending());
        let busy = tokio::spawn(async move { shelf.append(&sha, 0, stalled).await });
        until_length(&upload.part("part"), 50).await;
        assert_eq!(upload.shelf.sweep(later).await.unwrap(), 0);

        busy.abort();
        let _ = busy.await;
        assert_eq!(upload.shelf.sweep(later).await.unwrap(), 1);
        assert!(upload.nothing_is_left_over());
    }

    #[tokio::test]
    async fn photos_are_listed_measured_and_removed() {
        let upload = Upload::begun(photo()).await;
        upload.send(0, upload.sent.len()).await.unwrap();
        assert_eq!(upload.shelf.total_bytes().await.unwrap(), upload.sent.len() as u64 + 4);
        assert_eq!(upload.shelf.list().await.unwrap(), []);
        upload.shelf.finish(&upload.sha).await.unwrap();
        assert_eq!(upload.shelf.list().await.unwrap(), std::slice::from_ref(&upload.sha));
        let mut total = 0;
        for kind in [Kind::Original, Kind::Upright, Kind::Thumb] {
            total += upload.shelf.read(&upload.sha, kind).await.unwrap().unwrap().length;
        }
        assert_eq!(upload.shelf.total_bytes().await.unwrap(), total);

        assert!(upload.shelf.remove(&upload.sha).await.unwrap());
        assert!(!upload.shelf.remove(&upload.sha).await.unwrap());
        assert_eq!(upload.shelf.read(&upload.sha, Kind::Upright).await.unwrap(), None);
        assert_eq!(upload.shelf.total_bytes().await.unwrap(), 0);
        assert!(upload.nothing_is_left_over());
    }

    #[test]
    fn a_full_disk_is_told_apart_from_other_trouble() {
        // POSIX names both conditions: ENOSPC and EDQUOT.
        for kind in [io::ErrorKind::StorageFull, io::ErrorKind::QuotaExceeded] {
            assert!(matches!(ShelfError::from(io::Error::from(kind)), ShelfError::DiskFull));
        }
        assert!(matches!(ShelfError::from(io::Error::from(io::ErrorKind::PermissionDenied)), ShelfError::Io(_)));
    }
}
