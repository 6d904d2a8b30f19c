//! The one job that a helper's handlers can reach: whatever they ask for, they get it of the helper's own card.

use crate::access::Helper;
use crate::app::OwnerState;
use crate::clock::Moment;
use crate::db::{ReadDb, Version};
use crate::error::AppError;
use crate::helper::store;
use crate::ids::CardId;
use crate::photos::Pictures;
use crate::photos::shelf::{Kind, Sha256Hex, StoredFile};
use crate::sync::wire::Act;
use crate::under::step::{StepView, card_steps};
use crate::work::model::CardState;
use crate::work::whole::{WholeCar, WholeCars};
use std::sync::Arc;

/// Reads the job of a [`Helper`], and can be asked for no other.
#[derive(Clone)]
pub struct OneJob {
    read: ReadDb,
    cars: WholeCars,
    photos: Pictures,
}

impl From<&OwnerState> for OneJob {
    fn from(state: &OwnerState) -> OneJob {
        OneJob { read: state.read.clone(), cars: state.cars.clone(), photos: Pictures::of(&state.photos) }
    }
}

/// A helper's card with all that was done on it.
pub struct Job {
    whole: Arc<WholeCar>,
    card: CardId,
}

impl OneJob {
    /// The job as it is now. `LinkOver` where the link ended meanwhile.
    pub async fn now(&self, helper: &Helper, now: Moment) -> Result<Job, AppError> {
        if !store::holds(&mut *self.read.conn().await?, helper.link(), now).await? {
            return Err(AppError::LinkOver);
        }
        let whole = self.cars.get(&self.read, helper.car()).await?;
        Ok(Job { whole, card: helper.card() })
    }

    /// Stands for one state of everything: another after every write.
    pub async fn version(&self) -> Option<Version> {
        self.read.version().await
    }

    /// A photo that belongs to the job. Errors for every other one, whether it is here or not.
    pub async fn photo(
        &self,
        helper: &Helper,
        sha: &Sha256Hex,
        kind: Kind,
        now: Moment,
    ) -> Result<StoredFile, AppError> {
        let missing = || AppError::NotFound("such photo");
        if !self.now(helper, now).await?.has_photo(sha.as_str()) {
            return Err(missing());
        }
        self.photos.read(sha, kind).await?.ok_or_else(missing)
    }
}

impl Job {
    fn state(&self) -> Result<&CardState, AppError> {
        self.whole.state.card(self.card).ok_or(AppError::LinkOver)
    }

    pub fn title(&self) -> Result<&str, AppError> {
        Ok(&self.state()?.card.facts.title)
    }

    pub fn steps(&self) -> Result<Vec<StepView>, AppError> {
        let mut steps = card_steps(&self.whole, self.state()?);
        // A helper has no counter of bolts, which would show the figure instead.
        steps.iter_mut().flat_map(|step| &mut step.specs).for_each(|spec| spec.counted = false);
        Ok(steps)
    }

    fn has_photo(&self, sha: &str) -> bool {
        self.whole
            .done
            .iter()
            .filter(|done| done.card == Some(self.card))
            .any(|done| matches!(&done.act, Act::Photo(body) if body.sha256 == sha))
    }
}
