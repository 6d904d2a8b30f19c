//! The plan of a car as it stands: the one that was kept, or one made now, and what became otherwise since.

use super::made::{Known, Made};
use super::told::{self, Now};
use crate::app::ReaderState;
use crate::cars::store::Car;
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::CarId;
use crate::plan::facts::Facts;
use crate::trade::plan::{Effort, Fault};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// A car with its plan.
pub struct Standing {
    pub car: Car,
    /// What is known now.
    pub known: Known,
    /// The same as facts to hold a plan against.
    pub facts: Facts,
    /// The kept plan, or one made now; `None` where none can be made.
    pub made: Option<Arc<Made>>,
    /// Whether `made` is the kept one.
    pub kept: bool,
    /// What changed since it was made, in sentences.
    pub stale: Vec<String>,
    /// Why none can be made.
    pub faults: Vec<Fault>,
}

/// Plans that were made last, so that a page looked at again does not search again. Cheap to clone.
#[derive(Clone)]
pub struct Plans {
    effort: Effort,
    held: Arc<Mutex<HashMap<CarId, Arc<Made>>>>,
}

impl Plans {
    pub fn new(effort: Effort) -> Plans {
        Plans { effort, held: Arc::default() }
    }

    pub fn effort(&self) -> Effort {
        self.effort
    }

    /// The plan of what is known: the one held, if it was made of the same. The search runs beside the threads that answer.
    pub async fn of(&self, car: CarId, known: &Known, now: Moment) -> Result<Result<Arc<Made>, Vec<Fault>>, AppError> {
        if let Some(held) = self.held().get(&car).filter(|held| held.known == *known).cloned() {
            return Ok(Ok(held));
        }
        let (known, effort) = (known.clone(), self.effort);
        let made = beside(move || Made::now(now, known, effort)).await?;
        Ok(made.map(|made| {
            let made = Arc::new(made);
            self.held().insert(car, Arc::clone(&made));
            made
        }))
    }

    /// Whoever panicked while holding it left either an old plan or none.
    fn held(&self) -> MutexGuard<'_, HashMap<CarId, Arc<Made>>> {
        self.held.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Runs long work on a thread of its own.
pub async fn beside<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T, AppError> {
    tokio::task::spawn_blocking(work).await.map_err(AppError::internal)
}

impl Standing {
    /// The kept plan held against what is known now; without one, a plan made now.
    pub async fn of(state: &ReaderState, car: CarId) -> Result<Standing, AppError> {
        let mut told = told::read(state, car).await?;
        let Some(kept) = told.kept.take() else { return Standing::now(state, told).await };
        let Now { car, known, facts, .. } = told;
        let stale = kept.facts.changed(&facts);
        Ok(Standing { car, known, facts, made: Some(Arc::new(kept.made)), kept: true, stale, faults: Vec::new() })
    }

    /// A plan of what is known now, whatever was kept.
    pub async fn fresh(state: &ReaderState, car: CarId) -> Result<Standing, AppError> {
        Standing::now(state, told::read(state, car).await?).await
    }

    async fn now(state: &ReaderState, told: Now) -> Result<Standing, AppError> {
        let Now { car, known, facts, .. } = told;
        let (made, faults) = match state.plans.of(car.id, &known, state.clock.now()).await? {
            Ok(made) => (Some(made), Vec::new()),
            Err(faults) => (None, faults),
        };
        Ok(Standing { car, known, facts, made, kept: false, stale: Vec::new(), faults })
    }
}
