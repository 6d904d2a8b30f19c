//! The database: one writer, several readers, and types that keep the two apart.
//!
//! **What makes an acknowledgement true.** SQLite in WAL mode with `synchronous = full`: every commit
//! syncs the log file before it returns, so what a phone was told is stored survives the death of the
//! process and of the power. `foreign_keys` is on. The writer is a single connection and begins with
//! `begin immediate`, so two writers never meet half-way. Readers open the file read-only: a statement
//! that writes fails there, whatever the code says.

use crate::access::{Doorkeeper, Owner};
use crate::clock::Clock;
use crate::error::{AppError, StartError};
use crate::ids::StoreId;
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous};
use sqlx::{ConnectOptions, Connection, Sqlite, SqliteConnection, SqlitePool, Transaction};
use std::ops::{Deref, DerefMut};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::Mutex;

const BEGIN: &str = "begin immediate";

static MIGRATIONS: sqlx::migrate::Migrator = sqlx::migrate!("./migrations");

/// Reads only. Cheap to clone.
#[derive(Clone)]
pub struct ReadDb {
    pool: SqlitePool,
    watch: Watch,
}

/// Stands for one state of the database: another number after every write, whoever wrote. Says nothing else.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Version(i64);

/// A connection that does nothing but notice writes. What it says compares with nothing but what it said before
/// (sqlite.org/pragma.html, `data_version`), so it is one connection for as long as the database is open, outside the
/// pool, and is never replaced.
type Watch = Arc<Mutex<Option<SqliteConnection>>>;

/// May write, but only for somebody who can show an [`Owner`]. Cheap to clone.
#[derive(Clone)]
pub struct WriteDb(SqlitePool);

/// Both halves of an opened database.
#[derive(Clone)]
pub struct Db {
    pub read: ReadDb,
    pub write: WriteDb,
    pub store: StoreId,
}

/// One snapshot of everything, on which writing fails: what is read through it belongs together.
pub struct ReadConn(Transaction<'static, Sqlite>);

/// A write in progress; nothing of it is kept unless `commit` is called.
pub struct WriteTx(Transaction<'static, Sqlite>);

impl Deref for ReadConn {
    type Target = SqliteConnection;
    fn deref(&self) -> &SqliteConnection {
        &self.0
    }
}

impl DerefMut for ReadConn {
    fn deref_mut(&mut self) -> &mut SqliteConnection {
        &mut self.0
    }
}

impl Deref for WriteTx {
    type Target = SqliteConnection;
    fn deref(&self) -> &SqliteConnection {
        &self.0
    }
}

impl DerefMut for WriteTx {
    fn deref_mut(&mut self) -> &mut SqliteConnection {
        &mut self.0
    }
}

impl WriteTx {
    /// Makes the write durable. When this returns, it is on disk.
    pub async fn commit(self) -> Result<(), AppError> {
        Ok(self.0.commit().await?)
    }
}

impl ReadDb {
    pub async fn conn(&self) -> Result<ReadConn, AppError> {
        Ok(ReadConn(self.pool.begin_with("begin deferred").await?))
    }

    /// Which state the database is in. `None` where that cannot be told: then nothing may be taken for unchanged.
    pub async fn version(&self) -> Option<Version> {
        let mut watch = self.watch.lock().await;
        let said = sqlx::query_scalar("pragma data_version").fetch_one(watch.as_mut()?).await;
        if said.is_err() {
            *watch = None;
        }
        said.ok().map(Version)
    }

    async fn close(&self) {
        if let Some(watch) = self.watch.lock().await.take()
            && let Err(cause) = watch.close().await
        {
            tracing::warn!(%cause, "a connection to the database did not close");
        }
        self.pool.close().await;
    }
}

impl WriteDb {
    /// Begins a write for an owner: the proof that the request came from a paired device.
    pub async fn begin(&self, _proof: &Owner) -> Result<WriteTx, AppError> {
        self.begin_immediate().await
    }

    /// Begins a write for those who let people in, before anybody is an owner.
    pub async fn begin_at_the_door(&self, _proof: &Doorkeeper) -> Result<WriteTx, AppError> {
        self.begin_immediate().await
    }

    async fn begin_immediate(&self) -> Result<WriteTx, AppError> {
        match self.0.begin_with(BEGIN).await {
            Err(sqlx::Error::InvalidSavePointStatement) => self.begin_on_a_new_connection().await,
            begun => Ok(WriteTx(begun?)),
        }
    }

    /// When the disk is full SQLite rolls back by itself (sqlite.org/lang_transaction.html, section 3.1), and
    /// the library still counts the transaction as open. Such a connection is of no more use.
    async fn begin_on_a_new_connection(&self) -> Result<WriteTx, AppError> {
        self.0.acquire().await?.close().await?;
        Ok(WriteTx(self.0.begin_with(BEGIN).await?))
    }

    /// Copies the whole database, as it is now, into a new file.
    pub async fn copy_into(&self, target: &Path) -> Result<(), AppError> {
        let target = target.to_string_lossy().into_owned();
        sqlx::query("vacuum into ?").bind(target).execute(&self.0).await?;
        Ok(())
    }
}

impl Db {
    /// Waits for work in progress and closes the file. The writer goes last, and folds the log into it.
    pub async fn close(&self) {
        self.read.close().await;
        self.write.0.close().await;
    }
}

/// Opens the database file, creating it and bringing it up to date as needed.
///
/// Errors: the file cannot be opened or written, it is no database, it is damaged, the disk is full, or
/// it was made by a newer Underlamp.
pub async fn open(file: &Path, clock: &Clock) -> Result<Db, StartError> {
    let options = options(file).create_if_missing(true);
    let write = writer(file, options.clone()).await?;
    MIGRATIONS.run(&write).await.map_err(|cause| StartError::migration(file, cause))?;
    with_readers(file, options, write, clock).await
}

/// Opens a database that another process is using, and leaves its version as it is.
///
/// Errors: as `open`, and when the running program is of another version than this one.
pub async fn open_beside(file: &Path, clock: &Clock) -> Result<Db, StartError> {
    let options = options(file).create_if_missing(false);
    let write = writer(file, options.clone()).await?;
    if newest_migration(&write).await.map_err(|cause| StartError::database(file, cause))? != Some(newest_known()) {
        return Err(StartError::Said(
            "The running garage is of another version than this program. Stop it, start it with this program, then try again.".into(),
        ));
    }
    with_readers(file, options, write, clock).await
}

fn options(file: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(file)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(10))
}

async fn writer(file: &Path, options: SqliteConnectOptions) -> Result<SqlitePool, StartError> {
    let pool = SqlitePoolOptions::new().max_connections(1).connect_with(options).await;
    pool.map_err(|cause| StartError::database(file, cause))
}

async fn with_readers(
    file: &Path,
    options: SqliteConnectOptions,
    write: SqlitePool,
    clock: &Clock,
) -> Result<Db, StartError> {
    let options = options.create_if_missing(false).read_only(true);
    let watch = options.connect().await.map_err(|cause| StartError::database(file, cause))?;
    let read = SqlitePoolOptions::new()
        .max_connections(4)
        .connect_with(options)
        .await
        .map_err(|cause| StartError::database(file, cause))?;
    let read = ReadDb { pool: read, watch: Arc::new(Mutex::new(Some(watch))) };
    let store = store_id(&write, clock).await.map_err(|cause| StartError::database(file, cause))?;
    Ok(Db { read, write: WriteDb(write), store })
}

/// The id of this store, made on first opening.
async fn store_id(write: &SqlitePool, clock: &Clock) -> Result<StoreId, sqlx::Error> {
    let (fresh, now) = (StoreId::new(), clock.now().0);
    sqlx::query!("insert into store (one, id, made_at) values (1, ?, ?) on conflict do nothing", fresh, now)
        .execute(write)
        .await?;
    let row = sqlx::query!(r#"select id as "id: StoreId" from store"#).fetch_one(write).await?;
    Ok(row.id)
}

/// Gives a restored database a new store id, so that phones notice and give back what it lacks.
pub async fn renew_store_id(file: &Path) -> Result<(), StartError> {
    let options = SqliteConnectOptions::new().filename(file).synchronous(SqliteSynchronous::Full);
    let pool = SqlitePoolOptions::new()
        .max_connections(1)
        .connect_with(options)
        .await
        .map_err(|cause| StartError::database(file, cause))?;
    let fresh = StoreId::new();
    sqlx::query!("update store set id = ?", fresh)
        .execute(&pool)
        .await
        .map_err(|cause| StartError::database(file, cause))?;
    pool.close().await;
    Ok(())
}

/// SQLite's own check of a database file: `Ok` when it finds nothing wrong.
pub async fn integrity(file: &Path) -> Result<(), StartError> {
    let pool = look(file).await?;
    let said: Vec<String> = sqlx::query_scalar("pragma integrity_check")
        .fetch_all(&pool)
        .await
        .map_err(|cause| StartError::database(file, cause))?;
    pool.close().await;
    if said.iter().any(|line| line != "ok") {
        return Err(StartError::Damaged { file: file.to_owned(), said: said.join("; ") });
    }
    Ok(())
}

/// A database opened for one look, without changing it.
async fn look(file: &Path) -> Result<SqlitePool, StartError> {
    let options = SqliteConnectOptions::new().filename(file).read_only(true);
    SqlitePoolOptions::new()
        .max_connections(1)
        .connect_with(options)
        .await
        .map_err(|cause| StartError::database(file, cause))
}

/// When the last operation was received, by the clock of then. `None` where there is none.
pub async fn latest_receipt(file: &Path) -> Result<Option<i64>, StartError> {
    let pool = look(file).await?;
    let latest = sqlx::query_scalar!(r#"select max(received_at) as "at: i64" from ops"#)
        .fetch_one(&pool)
        .await
        .map_err(|cause| StartError::database(file, cause))?;
    pool.close().await;
    Ok(latest)
}

/// Whether a newer program has been at this database.
pub async fn newer_than_this_program(file: &Path) -> Result<bool, StartError> {
    let pool = look(file).await?;
    let newest = newest_migration(&pool).await.map_err(|cause| StartError::database(file, cause))?;
    pool.close().await;
    Ok(newest > Some(newest_known()))
}

/// The newest migration that this program knows.
pub fn newest_known() -> i64 {
    MIGRATIONS.iter().map(|migration| migration.version).max().unwrap_or(0)
}

async fn newest_migration(pool: &SqlitePool) -> Result<Option<i64>, sqlx::Error> {
    sqlx::query_scalar("select max(version) from _sqlx_migrations").fetch_one(pool).await
}

/// Whether a change that asks for a `rev` met its row.
///
/// Errors: it did not, so somebody changed the row since it was read.
pub fn changed_one(rows: u64) -> Result<(), AppError> {
    if rows == 1 { Ok(()) } else { Err(AppError::ChangedMeanwhile) }
}
