//! What is typed of where and when backups are kept.

use super::settings::{OLD_AFTER_DAYS, Place, Settings};
use super::target::folder_of;
use crate::config::DataFolder;
use crate::web::form::{Choice, Slips};
use serde::Deserialize;
use std::path::Path;

const LONGEST: usize = 500;
/// At night, when nobody works on the car.
const USUAL_HOUR: i8 = 3;
const OLD_AFTER: std::ops::RangeInclusive<i64> = 1..=365;

/// The form as it was sent.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BackupForm {
    pub kind: String,
    pub path: String,
    pub address: String,
    pub user: String,
    /// Empty: the one that is known stays.
    pub password: String,
    pub hour: String,
    pub old_after: String,
}

impl BackupForm {
    /// The form as it stands for what was chosen. The password never leaves the program.
    pub fn of(chosen: Option<&Settings>) -> BackupForm {
        let mut form = BackupForm {
            kind: "folder".into(),
            hour: chosen.map_or(USUAL_HOUR, |chosen| chosen.hour).to_string(),
            old_after: chosen.map_or(OLD_AFTER_DAYS, |chosen| chosen.old_after_days).to_string(),
            ..BackupForm::default()
        };
        match chosen.map(|chosen| &chosen.place) {
            None => {}
            Some(Place::Folder { path }) => form.path = path.display().to_string(),
            Some(Place::WebDav { address, user, password: _ }) => {
                form.kind = "webdav".into();
                form.address.clone_from(address);
                form.user.clone_from(user);
            }
        }
        form
    }

    /// The hours of the day, to choose from.
    pub fn hours(&self) -> Vec<Choice> {
        (0..24)
            .map(|hour| Choice::new(hour.to_string(), format!("{hour:02}:00"), self.hour == hour.to_string()))
            .collect()
    }

    /// The settings, unless something cannot be taken. `before`: what was chosen until now, for its password.
    pub fn read(&self, data: &DataFolder, before: Option<&Settings>, slips: &mut Slips) -> Option<Settings> {
        let place = match self.kind.as_str() {
            "folder" => self.folder(data, slips),
            "webdav" => self.webdav(before, slips),
            _ => {
                slips.say("kind", "Choose where they are to be kept.");
                None
            }
        };
        let hour = self.hour.parse().ok().filter(|hour| (0..24).contains(hour));
        if hour.is_none() {
            slips.say("hour", "Choose an hour of the day.");
        }
        let old_after_days = self.old_after.trim().parse().ok().filter(|days| OLD_AFTER.contains(days));
        if old_after_days.is_none() {
            slips.say("old_after", format!("Between {} and {} days.", OLD_AFTER.start(), OLD_AFTER.end()));
        }
        let settings = Settings { place: place?, hour: hour?, old_after_days: old_after_days? };
        slips.is_empty().then_some(settings)
    }

    fn folder(&self, data: &DataFolder, slips: &mut Slips) -> Option<Place> {
        let path =
            slips.needed("path", &self.path, LONGEST, "Say which folder: on another disk than the garage’s own.");
        let path = Path::new(&path);
        if !path.is_absolute() {
            slips.say("path", "Write the whole path, from the root of the disk.");
            return None;
        }
        if path.starts_with(data.path()) {
            slips.say("path", "This is the garage’s own folder: what takes that takes the backups with it.");
            return None;
        }
        Some(Place::Folder { path: path.to_owned() })
    }

    fn webdav(&self, before: Option<&Settings>, slips: &mut Slips) -> Option<Place> {
        let typed = slips.needed("address", &self.address, LONGEST, "Say the address of the folder on the server.");
        let user = slips.line("user", &self.user, LONGEST);
        if typed.is_empty() {
            return None;
        }
        let address = match folder_of(&typed) {
            Ok(url) => url.to_string(),
            Err(say) => {
                slips.say("address", say);
                return None;
            }
        };
        let password = self.password_for(&address, &user, before, slips)?;
        Some(Place::WebDav { address, user, password })
    }

    /// The one that was typed, or the one that is known, which goes to nobody but whom it was given for.
    fn password_for(&self, address: &str, user: &str, before: Option<&Settings>, slips: &mut Slips) -> Option<String> {
        if !self.password.is_empty() || user.is_empty() {
            return Some(self.password.clone());
        }
        match before.map(|before| &before.place) {
            Some(Place::WebDav { address: known, user: same, password }) if known == address && same == user => {
                Some(password.clone())
            }
            Some(Place::WebDav { .. } | Place::Folder { .. }) | None => {
                slips.say("password", "Enter the password for this address and user.");
                None
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn data() -> DataFolder {
        DataFolder::choose(Some(Path::new("/home/me/garage")), false).unwrap()
    }

    fn typed() -> BackupForm {
        BackupForm {
            kind: "webdav".into(),
            address: "https://nas.example/keep".into(),
            user: "me".into(),
            password: "hush".into(),
            hour: "3".into(),
            old_after: "7".into(),
            ..BackupForm::default()
        }
    }

    fn read(form: &BackupForm, before: Option<&Settings>) -> Result<Settings, Slips> {
        let mut slips = Slips::default();
        form.read(&data(), before, &mut slips).ok_or(slips)
    }

    #[test]
    fn a_known_password_stays_with_the_address_and_user_it_was_given_for() {
        let known = read(&typed(), None).unwrap();
        let shown = BackupForm::of(Some(&known));
        assert_eq!((shown.password.as_str(), shown.address.as_str()), ("", "https://nas.example/keep/"));
        assert_eq!(read(&shown, Some(&known)).unwrap(), known);
        for moved in [
            BackupForm { address: "https://else.example/keep".into(), ..shown.clone() },
            BackupForm { user: "you".into(), ..shown.clone() },
        ] {
            assert!(!read(&moved, Some(&known)).unwrap_err().of("password").is_empty(), "{moved:?}");
        }
        assert!(
            read(&BackupForm { user: String::new(), ..shown }, Some(&known)).is_ok(),
            "a server that asks for none"
        );
    }

    #[test]
    fn a_folder_is_a_whole_path_outside_the_garage() {
        let folder = |path: &str| read(&BackupForm { kind: "folder".into(), path: path.into(), ..typed() }, None);
        assert!(folder("/media/stick/keep").is_ok());
        for wrong in ["", "keep", "./keep", "/home/me/garage", "/home/me/garage/keep"] {
            assert!(!folder(wrong).unwrap_err().of("path").is_empty(), "{wrong}");
        }
    }

    #[test]
    fn what_cannot_be_taken_is_told_at_its_field() {
        let cases = [
            ("kind", BackupForm { kind: "tape".into(), ..typed() }),
            ("address", BackupForm { address: "nas".into(), ..typed() }),
            ("address", BackupForm { address: String::new(), ..typed() }),
            ("hour", BackupForm { hour: "24".into(), ..typed() }),
            ("hour", BackupForm { hour: "-1".into(), ..typed() }),
            ("old_after", BackupForm { old_after: "0".into(), ..typed() }),
            ("old_after", BackupForm { old_after: "soon".into(), ..typed() }),
        ];
        for (field, form) in cases {
            assert!(!read(&form, None).unwrap_err().of(field).is_empty(), "{form:?}");
        }
    }
}
