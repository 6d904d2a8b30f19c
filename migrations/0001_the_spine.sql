-- The spine: one garage, its cars, what is known of them, the job cards, and every operation ever received.
--
-- Ids are UUIDs as text, so that a person can read the database with any SQLite tool.
-- Moments are whole milliseconds since 1970-01-01 UTC; calendar days are ISO 8601 text.
-- Tables are STRICT: a value of the wrong type is an error today, not a surprise next winter.
-- Rows a phone may still speak of are never deleted, only marked with gone_at.

-- One row. `id` changes when a backup is restored, which is how phones notice and give back what is missing.
create table store (
    one integer primary key check (one = 1),
    id text not null,
    made_at integer not null
) strict;

-- ---------------------------------------------------------------- who may come in

create table devices (
    id text primary key,
    name text not null,
    kind text not null check (kind in ('desk', 'phone')),
    paired_at integer not null,
    last_seen_at integer not null,
    -- whether this device ever stored something of ours: tells a new phone from one that lost its storage
    kept_something integer not null default 0 check (kept_something in (0, 1))
) strict;

-- The cookie holds the secret; only its SHA-256 is kept, so a copied database opens nothing.
create table sessions (
    secret_hash text primary key,
    device_id text not null references devices (id),
    made_at integer not null,
    ends_at integer not null
) strict;

create table pairing_codes (
    code_hash text primary key,
    made_at integer not null,
    ends_at integer not null,
    wrong_tries integer not null default 0,
    used_at integer
) strict;

-- ---------------------------------------------------------------- the car and what is known of it

create table cars (
    id text primary key,
    name text not null,
    make text not null,
    model text not null,
    year integer,
    -- type, engine, gearbox and chassis codes as read off the car, one 'name: value' a line
    codes text not null default '',
    story text not null default '',
    wanted_on text,
    wanted_for text not null default '',
    invented integer not null default 0 check (invented in (0, 1)),
    made_at integer not null,
    gone_at integer
) strict;

create table specs (
    id text primary key,
    car_id text not null references cars (id),
    system text not null,
    item text not null,
    place text not null default '',
    kind text not null,
    -- JSON of trade::spec::Fastener and of its stages; absent where the spec is no fastener's
    fastener text,
    stages text,
    variant text not null default '',
    note text not null default '',
    rev integer not null default 1,
    gone_at integer
) strict;
create index specs_by_car on specs (car_id, system, item);

-- What one source says. Stored exactly as written there; the settled one is what the restorer chose.
create table spec_values (
    id text primary key,
    spec_id text not null references specs (id),
    written text not null,
    source_kind text not null,
    citation text not null default '',
    page text not null default '',
    photo_sha256 text,
    said_on text,
    settled integer not null default 0 check (settled in (0, 1)),
    note text not null default '',
    made_at integer not null,
    gone_at integer
) strict;
create index spec_values_by_spec on spec_values (spec_id);

-- ---------------------------------------------------------------- job cards

create table cards (
    id text primary key,
    car_id text not null references cars (id),
    title text not null,
    system text not null,
    why text not null default '',
    place_in_order integer not null,
    minutes_low integer,
    minutes_likely integer,
    minutes_high integer,
    rev integer not null default 1,
    gone_at integer
) strict;
create index cards_by_car on cards (car_id, place_in_order);

create table steps (
    id text primary key,
    card_id text not null references cards (id),
    place_in_order integer not null,
    verb text not null,
    object_kind text not null,
    object text not null,
    words text not null,
    detail text not null default '',
    -- what is to be read off here, JSON of trade::steps::Ask; absent where nothing is asked
    asks text,
    rev integer not null default 1,
    gone_at integer
) strict;
create index steps_by_card on steps (card_id, place_in_order);

create table step_specs (
    step_id text not null references steps (id),
    spec_id text not null references specs (id),
    place_in_order integer not null,
    primary key (step_id, spec_id)
) strict;

create table step_tools (
    step_id text not null references steps (id),
    tool text not null,
    place_in_order integer not null,
    primary key (step_id, tool)
) strict;

-- Either one of the known cautions by name (trade::cautions) or the restorer's own words.
create table step_cautions (
    step_id text not null references steps (id),
    caution text not null,
    place_in_order integer not null,
    primary key (step_id, caution)
) strict;

-- ---------------------------------------------------------------- parts

create table parts (
    id text primary key,
    car_id text not null references cars (id),
    name text not null,
    number text not null default '',
    supplier text not null default '',
    quantity text not null default '1',
    state text not null check (state in ('wanted', 'ordered', 'here', 'fitted', 'sent-back')),
    price_minor integer,
    currency text not null default '',
    expected_on text,
    note text not null default '',
    rev integer not null default 1,
    gone_at integer
) strict;
create index parts_by_car on parts (car_id, state);

create table step_parts (
    step_id text not null references steps (id),
    part_id text not null references parts (id),
    quantity text not null default '1',
    place_in_order integer not null,
    primary key (step_id, part_id)
) strict;

-- ---------------------------------------------------------------- operations: what was done, for good

-- Every operation ever accepted, in the order it became durable (seq). Never changed, never deleted:
-- the logbook and every repeated delivery depend on it. No foreign keys to cards or steps on purpose:
-- an operation on something deleted meanwhile is kept.
create table ops (
    seq integer primary key autoincrement,
    id text not null unique,
    device_id text not null,
    sent_by text not null,
    hlc text not null,
    car_id text not null,
    card_id text,
    subject_kind text not null,
    subject_id text not null,
    kind text not null,
    body text not null,
    body_hash text not null,
    verdict text not null check (verdict in ('applied', 'kept')),
    received_at integer not null
) strict;
create index ops_by_car on ops (car_id, seq);
create index ops_by_card on ops (card_id, seq);
create index ops_by_hlc on ops (hlc);

-- The present value of everything that can be said twice (a tick, a reading, an odometer): the
-- operation with the greatest (hlc, device, id) for a subject and field. Could be rebuilt from ops.
create table standing (
    subject_id text not null,
    field text not null,
    op_seq integer not null references ops (seq),
    hlc text not null,
    device_id text not null,
    op_id text not null,
    car_id text not null,
    card_id text,
    body text not null,
    primary key (subject_id, field)
) strict;
create index standing_by_car on standing (car_id);
create index standing_by_card on standing (card_id);

-- Photos whose bytes are complete, checked and on disk. The bytes live beside the database.
create table photos (
    sha256 text primary key,
    bytes integer not null,
    width integer not null,
    height integer not null,
    stored_at integer not null
) strict;
