//! Turns the bytes that a phone sent into three pictures that are safe to keep and to show to a helper.
//!
//! 1. Recognise the real format by its first bytes. The name and the declared type are never asked.
//! 2. Copy only what is needed to show the picture: an allow-list of segments or chunks, so that
//!    metadata invented tomorrow is left out too. The compressed image data is copied byte for byte.
//! 3. Read the size from the header and refuse what would not fit in memory, before decoding.
//! 4. Decode the **cleaned** copy (what is stored is proven readable), shrink, turn upright, encode.
//!
//! Pure and synchronous: no files, no clock. It can take a second, so call it off the async threads.
//!
//! Sources of the formats: JPEG markers ITU-T T.81 annex B and JFIF T.871; EXIF orientation CIPA DC-008
//! section 4.6.4; PNG W3C Recommendation, third edition; WebP container RFC 9649.

mod jpeg;

use std::io::Cursor;

use bytes::Bytes;
use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits, RgbImage};
use img_parts::png::Png;
use img_parts::webp::{CHUNK_ANIM, CHUNK_ANMF, CHUNK_VP8X, WebP};
use img_parts::{Error as PartsError, ImageEXIF, riff::RiffContent};
use thiserror::Error;

/// Largest file taken, in bytes.
pub const MAX_BYTES: u64 = 40 * 1024 * 1024;
/// Largest picture taken, in pixels.
pub const MAX_PIXELS: u64 = 64_000_000;
/// Long side of the picture shown on a page, in pixels.
pub const UPRIGHT_LONG_SIDE: u32 = 2000;
/// Long side of the picture shown in lists, in pixels.
pub const THUMB_LONG_SIDE: u32 = 480;

const UPRIGHT_QUALITY: u8 = 82;
const THUMB_QUALITY: u8 = 70;
/// Longest side that any of the three formats can hold and that browsers still show.
const MAX_SIDE: u32 = 65_535;
/// Room for 64 megapixels at 16 bits in four channels.
const MAX_DECODED_BYTES: u64 = 512 * 1024 * 1024;

/// Why bytes were not taken as a photo. None of these gets better by sending the same bytes again.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Refusal {
    #[error("This file is not a picture. Send a JPEG, PNG or WebP photo.")]
    NotAPicture,
    #[error("{0}")]
    Unsupported(Foreign),
    #[error(
        "This picture has too many pixels. The most that can be taken is 64 megapixels; \
         choose a smaller size in the camera's settings."
    )]
    TooManyPixels,
    #[error("This picture ends too early: part of it is missing. Send it again from where it was taken.")]
    Truncated,
    #[error("This picture is damaged and cannot be opened.")]
    Damaged,
    #[error("This file is too large. A photo may be up to 40 MiB.")]
    TooLarge,
}

/// Files that are recognised in order to say what to do about them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum Foreign {
    #[error(
        "This is a HEIC picture, which most browsers cannot show. In the phone's camera settings \
         choose 'Most compatible' (JPEG), or share the photo as JPEG, and add it again."
    )]
    Heic,
    #[error("This is an AVIF picture. Save it as JPEG and add it again.")]
    Avif,
    #[error("This is a GIF. Save it as JPEG or PNG and add it again.")]
    Gif,
    #[error("This is a TIFF or a camera's raw file. Save it as JPEG and add it again.")]
    Tiff,
    #[error("This is a bitmap file (BMP). Save it as JPEG or PNG and add it again.")]
    Bmp,
    #[error("This is a JPEG XL picture. Save it as JPEG and add it again.")]
    JpegXl,
    #[error("This is a film. Take a still photo and add that.")]
    Film,
    #[error("This picture moves. Send a still picture.")]
    Animation,
    #[error("This picture uses a rare encoding. Save it as an ordinary JPEG and add it again.")]
    RareEncoding,
}

/// The formats that are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    Jpeg,
    Png,
    WebP,
}

impl Format {
    pub const ALL: [Format; 3] = [Format::Jpeg, Format::Png, Format::WebP];

    /// File name ending, without the dot.
    pub fn extension(self) -> &'static str {
        match self {
            Format::Jpeg => "jpg",
            Format::Png => "png",
            Format::WebP => "webp",
        }
    }

    /// IANA media type, for `Content-Type`.
    pub fn media_type(self) -> &'static str {
        match self {
            Format::Jpeg => "image/jpeg",
            Format::Png => "image/png",
            Format::WebP => "image/webp",
        }
    }

    fn decoder(self) -> ImageFormat {
        match self {
            Format::Jpeg => ImageFormat::Jpeg,
            Format::Png => ImageFormat::Png,
            Format::WebP => ImageFormat::WebP,
        }
    }
}

/// Pixels across and down, as a person sees the picture (after the orientation is applied).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    pub width: u32,
    pub height: u32,
}

/// The three pictures that are stored for a photo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pictures {
    /// The sent picture with its compressed data untouched and no metadata but colour profile and orientation.
    pub original: Vec<u8>,
    /// JPEG, orientation applied, no metadata, long side at most [`UPRIGHT_LONG_SIDE`].
    pub upright: Vec<u8>,
    /// As `upright`, long side at most [`THUMB_LONG_SIDE`].
    pub thumb: Vec<u8>,
    pub format: Format,
    /// Of `original`, seen upright.
    pub size: Size,
    pub upright_size: Size,
}

/// What can be told from a picture's header.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Facts {
    pub format: Format,
    /// Seen upright.
    pub size: Size,
}

/// Makes the stored pictures of a photo.
///
/// # Errors
/// A [`Refusal`] whose text can be shown to the person who took the photo.
pub fn process(original: &[u8]) -> Result<Pictures, Refusal> {
    let cleaned = Cleaned::from(original)?;
    let full = decode(&cleaned)?;
    let size = upright_size(&cleaned, full.width(), full.height());

    let mut small = shrink(full, UPRIGHT_LONG_SIDE);
    small.apply_orientation(cleaned.orientation);
    let upright = on_white(small);
    let upright_size = Size { width: upright.width(), height: upright.height() };
    let upright_jpeg = encode_jpeg(&upright, UPRIGHT_QUALITY)?;
    let thumb = shrink(DynamicImage::ImageRgb8(upright), THUMB_LONG_SIDE).into_rgb8();

    Ok(Pictures {
        thumb: encode_jpeg(&thumb, THUMB_QUALITY)?,
        upright: upright_jpeg,
        original: cleaned.bytes,
        format: cleaned.format,
        size,
        upright_size,
    })
}

/// Reads format and size without decoding.
///
/// # Errors
/// As [`process`], except for damage in the image data, which is not looked at.
pub fn facts(picture: &[u8]) -> Result<Facts, Refusal> {
    let cleaned = Cleaned::from(picture)?;
    let (width, height) = open(&cleaned)?.dimensions();
    Ok(Facts { format: cleaned.format, size: upright_size(&cleaned, width, height) })
}

/// A picture that holds nothing but what is needed to show it.
struct Cleaned {
    bytes: Vec<u8>,
    format: Format,
    orientation: Orientation,
}

impl Cleaned {
    fn from(sent: &[u8]) -> Result<Self, Refusal> {
        if sent.len() as u64 > MAX_BYTES {
            return Err(Refusal::TooLarge);
        }
        let format = recognise(sent)?;
        let (bytes, orientation) = match format {
            Format::Jpeg => jpeg::clean(sent)?,
            Format::Png => clean_png(sent)?,
            Format::WebP => clean_webp(sent)?,
        };
        Ok(Self { bytes, format, orientation })
    }
}

fn recognise(sent: &[u8]) -> Result<Format, Refusal> {
    let foreign = |kind| Err(Refusal::Unsupported(kind));
    match sent {
        [0xFF, 0xD8, 0xFF, ..] => Ok(Format::Jpeg),
        [0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A, ..] => Ok(Format::Png),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Ok(Format::WebP),
        [_, _, _, _, b'f', b't', b'y', b'p', brand @ ..] => foreign(recognise_box_file(brand)),
        [b'G', b'I', b'F', b'8', ..] => foreign(Foreign::Gif),
        [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => foreign(Foreign::Tiff),
        [b'B', b'M', _, _, _, _, 0, 0, 0, 0, ..] => foreign(Foreign::Bmp),
        [0xFF, 0x0A, ..] | [0, 0, 0, 12, b'J', b'X', b'L', b' ', ..] => foreign(Foreign::JpegXl),
        [0x1A, 0x45, 0xDF, 0xA3, ..] => foreign(Foreign::Film),
        _ => Err(Refusal::NotAPicture),
    }
}

/// Tells still pictures from films by the major brand of an ISO base media file (ISO/IEC 14496-12).
/// The HEIF brands are those of ISO/IEC 23008-12.
fn recognise_box_file(brand: &[u8]) -> Foreign {
    match brand.get(..4) {
        Some(b"avif" | b"avis") => Foreign::Avif,
        Some(b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" | b"mif1" | b"msf1") => Foreign::Heic,
        Some(_) | None => Foreign::Film,
    }
}

fn clean_png(sent: &[u8]) -> Result<(Vec<u8>, Orientation), Refusal> {
    let mut png = Png::from_bytes(Bytes::copy_from_slice(sent)).map_err(broken)?;
    if png.chunks().last().is_none_or(|last| &last.kind() != b"IEND") {
        return Err(Refusal::Truncated);
    }
    if png.chunk_by_type(*b"acTL").is_some() {
        return Err(Refusal::Unsupported(Foreign::Animation));
    }
    let orientation = png.exif().map_or(Orientation::NoTransforms, |tiff| orientation_of(&tiff));
    png.chunks_mut().retain(|chunk| shows_png(&chunk.kind()));
    png.set_exif(orientation_tag(orientation).map(Bytes::from));
    Ok((png.encoder().bytes().to_vec(), orientation))
}

/// The chunks that decide what a PNG looks like.
fn shows_png(kind: &[u8; 4]) -> bool {
    const PIXELS: [&[u8; 4]; 5] = [b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"];
    const COLOURS: [&[u8; 4]; 9] = [b"cHRM", b"gAMA", b"iCCP", b"sRGB", b"sBIT", b"cICP", b"mDCV", b"cLLI", b"bKGD"];
    PIXELS.contains(&kind) || COLOURS.contains(&kind) || kind == b"pHYs"
}

fn clean_webp(sent: &[u8]) -> Result<(Vec<u8>, Orientation), Refusal> {
    let mut webp = WebP::from_bytes(Bytes::copy_from_slice(sent)).map_err(broken)?;
    if webp.has_chunk(CHUNK_ANIM) || webp.has_chunk(CHUNK_ANMF) {
        return Err(Refusal::Unsupported(Foreign::Animation));
    }
    let orientation = webp.exif().map_or(Orientation::NoTransforms, |tiff| orientation_of(&tiff));
    webp.chunks_mut().retain(|chunk| matches!(&chunk.id(), b"VP8X" | b"ICCP" | b"ALPH" | b"VP8 " | b"VP8L"));
    webp.set_exif(orientation_tag(orientation).map(Bytes::from));
    clear_xmp_flag(&mut webp);
    Ok((webp.encoder().bytes().to_vec(), orientation))
}

/// `img-parts` keeps the flag that announces an XMP chunk (RFC 9649 section 2.7.1), which is gone by now.
fn clear_xmp_flag(webp: &mut WebP) {
    const XMP: u8 = 0b0000_0100;
    let header = webp.chunks_mut().iter_mut().find(|chunk| chunk.id() == CHUNK_VP8X);
    let Some(RiffContent::Data(data)) = header.map(|chunk| chunk.content_mut()) else {
        return;
    };
    let mut flags = data.to_vec();
    if let Some(first) = flags.first_mut() {
        *first &= !XMP;
    }
    *data = Bytes::from(flags);
}

fn broken(error: PartsError) -> Refusal {
    match error {
        PartsError::Truncated => Refusal::Truncated,
        PartsError::BadCRC | PartsError::WrongSignature => Refusal::Damaged,
    }
}

fn orientation_of(tiff: &[u8]) -> Orientation {
    Orientation::from_exif_chunk(tiff).unwrap_or(Orientation::NoTransforms)
}

/// The smallest EXIF block there is: one directory with one entry. `None` for a picture that is upright as it is.
fn orientation_tag(orientation: Orientation) -> Option<Vec<u8>> {
    if orientation == Orientation::NoTransforms {
        return None;
    }
    let mut tiff = b"MM\0\x2A\0\0\0\x08".to_vec();
    tiff.extend_from_slice(&[0, 1]);
    tiff.extend_from_slice(&[0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation.to_exif(), 0, 0]);
    tiff.extend_from_slice(&[0, 0, 0, 0]);
    Some(tiff)
}

/// Reads the header and refuses a picture that is too big to decode.
fn open(cleaned: &Cleaned) -> Result<impl ImageDecoder + '_, Refusal> {
    let bytes = Cursor::new(cleaned.bytes.as_slice());
    let mut reader = ImageReader::with_format(bytes, cleaned.format.decoder());
    reader.limits(limits());
    let decoder = reader.into_decoder().map_err(undecodable)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MAX_PIXELS || decoder.total_bytes() > MAX_DECODED_BYTES {
        return Err(Refusal::TooManyPixels);
    }
    Ok(decoder)
}

fn limits() -> Limits {
    let mut limits = Limits::default();
    limits.max_image_width = Some(MAX_SIDE);
    limits.max_image_height = Some(MAX_SIDE);
    limits.max_alloc = Some(MAX_DECODED_BYTES);
    limits
}

fn decode(cleaned: &Cleaned) -> Result<DynamicImage, Refusal> {
    DynamicImage::from_decoder(open(cleaned)?).map_err(undecodable)
}

fn undecodable(error: ImageError) -> Refusal {
    match error {
        ImageError::Limits(_) => Refusal::TooManyPixels,
        ImageError::Unsupported(_) => Refusal::Unsupported(Foreign::RareEncoding),
        ImageError::Decoding(_) | ImageError::Encoding(_) | ImageError::Parameter(_) | ImageError::IoError(_) => {
            Refusal::Damaged
        }
    }
}

fn upright_size(cleaned: &Cleaned, width: u32, height: u32) -> Size {
    match cleaned.orientation {
        Orientation::NoTransforms
        | Orientation::Rotate180
        | Orientation::FlipHorizontal
        | Orientation::FlipVertical => Size { width, height },
        Orientation::Rotate90 | Orientation::Rotate270 | Orientation::Rotate90FlipH | Orientation::Rotate270FlipH => {
            Size { width: height, height: width }
        }
    }
}

/// Keeps the proportions; never enlarges.
fn shrink(picture: DynamicImage, long_side: u32) -> DynamicImage {
    if picture.width().max(picture.height()) <= long_side {
        return picture;
    }
    picture.resize(long_side, long_side, FilterType::CatmullRom)
}

/// JPEG has no transparency: what shines through becomes white, like paper.
fn on_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let seen = picture.into_rgba8();
    RgbImage::from_fn(seen.width(), seen.height(), |x, y| {
        let [red, green, blue, alpha] = seen.get_pixel(x, y).0;
        image::Rgb([red, green, blue].map(|value| over_white(value, alpha)))
    })
}

fn over_white(value: u8, alpha: u8) -> u8 {
    let (value, alpha) = (u32::from(value), u32::from(alpha));
    // At most 255 * 255 / 255, so it fits a byte.
    ((value * alpha + 255 * (255 - alpha) + 127) / 255) as u8
}

fn encode_jpeg(picture: &RgbImage, quality: u8) -> Result<Vec<u8>, Refusal> {
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, quality).encode_image(picture).map_err(undecodable)?;
    Ok(jpeg)
}
