//! The page of a record as bytes: for a browser that asks the garage, and as files for the one that makes the PDF.

use super::blot::blot;
use super::choice::{Choice, LeaveOut, Paper};
use super::contents::Contents;
use super::lines::Photo;
use super::printer::PAGE;
use super::views::SheetPage;
use crate::cars::store::Car;
use crate::error::AppError;
use crate::photos::Pictures;
use crate::photos::shelf::{Kind, Sha256Hex};
use crate::web::assets;
use askama::Template;
use std::path::Path;

/// The style sheets of the page, in their order. Its own one, which knows the paper, comes after them.
const STYLES: [&str; 3] = ["css/tokens.css", "css/base.css", "css/record.css"];
/// A value that names this one car: long enough to be no type, as `HS18` is one.
const LEAST_OF_A_CODE: usize = 6;

/// Where the page finds what it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Links {
    /// At the garage.
    Served { page_style: String },
    /// Beside it in a folder.
    Files,
}

impl Links {
    pub fn styles(&self) -> Vec<String> {
        let own = match self {
            Links::Served { page_style } => page_style.clone(),
            Links::Files => "css/page.css".to_owned(),
        };
        let shared = STYLES.iter().map(|style| match self {
            Links::Served { .. } => assets::url(style),
            Links::Files => (*style).to_owned(),
        });
        shared.chain([own]).collect()
    }

    pub fn photo(&self, photo: &Photo) -> String {
        match self {
            Links::Served { .. } => format!("/photos/{}/{}", photo.sha256, name_of(photo)),
            Links::Files => format!("photos/{}-{}.jpg", photo.sha256, name_of(photo)),
        }
    }
}

fn name_of(photo: &Photo) -> &'static str {
    if photo.large { "upright" } else { "thumb" }
}

/// The page, without a byte of what was chosen to be left out.
pub fn drawn(page: &SheetPage, contents: &Contents, choice: &Choice) -> Result<String, AppError> {
    Ok(blot(&page.render()?, &blotted(&contents.car, choice), choice.leaves_out(LeaveOut::Codes)))
}

/// The words that may stand nowhere.
fn blotted(car: &Car, choice: &Choice) -> Vec<String> {
    let mut words = choice.words.clone();
    if choice.leaves_out(LeaveOut::Codes) {
        // What stands behind a comma or in brackets only explains it.
        let bare = |value: &str| value.split([',', '(']).next().unwrap_or_default().trim().to_owned();
        let values = car.code_lines().into_iter().map(|(_, value)| bare(&value));
        words.extend(values.filter(|value| {
            value.chars().count() >= LEAST_OF_A_CODE && value.chars().any(|letter| letter.is_ascii_digit())
        }));
    }
    words
}

/// Whether what the car is called is among what was left out.
pub fn is_blotted(car: &Car, choice: &Choice) -> bool {
    blot(&car.name, &blotted(car, choice), choice.leaves_out(LeaveOut::Codes)) != car.name
}

/// The style of the paper: its size, and what stands at the head and the foot of each page.
///
/// Source: CSS Paged Media Module Level 3, `size` and the page-margin boxes. A browser that knows no margin boxes leaves
/// them out.
pub fn page_style(car: &Car, choice: &Choice, made: &str) -> String {
    let size = match choice.paper {
        Paper::A4 => "A4",
        Paper::Letter => "letter",
    };
    let head = in_style(&if choice.plain_head || is_blotted(car, choice) {
        "Record of the car".to_owned()
    } else {
        format!("Record of {}", car.name)
    });
    let made = in_style(&format!("as of {made}"));
    format!(
        "@page {{\n  size: {size};\n  margin: 20mm 17mm 18mm;\n  @top-left {{ content: \"{head}\"; }}\n  \
         @top-right {{ content: \"{made}\"; }}\n  \
         @bottom-left {{ content: \"No statement that the car is safe or legal to drive\"; }}\n  \
         @bottom-right {{ content: \"page \" counter(page) \" of \" counter(pages); }}\n}}\n\
         @page :first {{\n  @top-left {{ content: none; }}\n  @top-right {{ content: none; }}\n}}\n"
    )
}

/// Text inside quotes of a style sheet: whatever is neither letter nor digit by its number (CSS Syntax Module Level 3,
/// section 4.3.7).
fn in_style(text: &str) -> String {
    let escape = |letter: char| {
        if letter.is_ascii_alphanumeric() { letter.to_string() } else { format!("\\{:06x}", u32::from(letter)) }
    };
    text.chars().map(escape).collect()
}

/// Lays the page with all that it shows into a folder.
pub async fn lay_out(
    folder: &Path,
    (html, style): (&str, &str),
    contents: &Contents,
    pictures: &Pictures,
) -> Result<(), AppError> {
    for part in ["css", "fonts", "photos"] {
        tokio::fs::create_dir(folder.join(part)).await.map_err(AppError::internal)?;
    }
    let put =
        async |path: &str, bytes: &[u8]| tokio::fs::write(folder.join(path), bytes).await.map_err(AppError::internal);
    put(PAGE, html.as_bytes()).await?;
    put("css/page.css", style.as_bytes()).await?;
    for path in STYLES.into_iter().map(str::to_owned).chain(assets::fonts()) {
        let bytes = assets::bytes(&path).ok_or(AppError::NotFound("such file"))?;
        put(&path, &bytes).await?;
    }
    for photo in contents.photos() {
        let sha = Sha256Hex::parse(&photo.sha256).map_err(AppError::internal)?;
        let kind = if photo.large { Kind::Upright } else { Kind::Thumb };
        if let Some(stored) = pictures.read(&sha, kind).await? {
            let target = folder.join(Links::Files.photo(photo));
            tokio::fs::copy(&stored.path, target).await.map_err(AppError::internal)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_of_a_car_breaks_out_of_the_style() {
        assert_eq!(
            in_style("Öl\" } *{}\n7"),
            "\\0000d6l\\000022\\000020\\00007d\\000020\\00002a\\00007b\\00007d\\00000a7"
        );
    }
}
