//! SQL of the helper's links.

use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, CardId, HelperLinkId};
use sqlx::SqliteConnection;

/// A link that holds, as whoever hands in its secret finds it.
pub struct GoodLink {
    pub id: HelperLinkId,
    pub car: CarId,
    pub card: CardId,
    pub label: String,
    pub may_ring: bool,
}

/// The link of a secret, while it holds: not ended, not taken back, and its card and car are still there.
pub async fn by_secret(
    conn: &mut SqliteConnection,
    secret_hash: &str,
    now: Moment,
) -> Result<Option<GoodLink>, AppError> {
    let row = sqlx::query!(
        r#"
        select helper_links.id as "id: HelperLinkId", card_id as "card: CardId", cars.id as "car: CarId", label, may_ring
        from helper_links
        join cards on cards.id = card_id
        join cars on cars.id = cards.car_id
        where secret_hash = ? and ends_at > ? and taken_back_at is null and cards.gone_at is null and cars.gone_at is null
        "#,
        secret_hash,
        now.0,
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map(|row| GoodLink {
        id: row.id,
        car: row.car,
        card: row.card,
        label: row.label,
        may_ring: row.may_ring != 0,
    }))
}

/// Whether a link still holds.
pub async fn holds(conn: &mut SqliteConnection, link: HelperLinkId, now: Moment) -> Result<bool, AppError> {
    let found = sqlx::query_scalar!(
        r#"
        select count(*) as "count: i64"
        from helper_links
        join cards on cards.id = card_id
        join cars on cars.id = cards.car_id
        where helper_links.id = ? and ends_at > ? and taken_back_at is null
            and cards.gone_at is null and cars.gone_at is null
        "#,
        link,
        now.0,
    )
    .fetch_one(conn)
    .await?;
    Ok(found > 0)
}

/// A link as its maker sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    pub id: HelperLinkId,
    pub label: String,
    pub may_ring: bool,
    pub made_at: Moment,
    pub ends_at: Moment,
    pub taken_back_at: Option<Moment>,
}

impl Link {
    pub fn holds(&self, now: Moment) -> bool {
        self.taken_back_at.is_none() && self.ends_at > now
    }
}

/// The links of a card, the newest first.
pub async fn of_card(conn: &mut SqliteConnection, card: CardId) -> Result<Vec<Link>, AppError> {
    let rows = sqlx::query!(
        r#"
        select id as "id: HelperLinkId", label, may_ring, made_at, ends_at, taken_back_at
        from helper_links
        where card_id = ?
        order by made_at desc, id desc
        "#,
        card,
    )
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| Link {
            id: row.id,
            label: row.label,
            may_ring: row.may_ring != 0,
            made_at: Moment(row.made_at),
            ends_at: Moment(row.ends_at),
            taken_back_at: row.taken_back_at.map(Moment),
        })
        .collect())
}

pub async fn add(tx: &mut WriteTx, card: CardId, secret_hash: &str, link: &Link) -> Result<(), AppError> {
    let may_ring = i64::from(link.may_ring);
    sqlx::query!(
        r#"
        insert into helper_links (id, card_id, label, secret_hash, may_ring, made_at, ends_at)
        values (?, ?, ?, ?, ?, ?, ?)
        "#,
        link.id,
        card,
        link.label,
        secret_hash,
        may_ring,
        link.made_at.0,
        link.ends_at.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Takes a link of a card back. Doing it again changes nothing.
pub async fn take_back(tx: &mut WriteTx, card: CardId, link: HelperLinkId, now: Moment) -> Result<(), AppError> {
    sqlx::query!(
        "update helper_links set taken_back_at = ? where id = ? and card_id = ? and taken_back_at is null",
        now.0,
        link,
        card,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
