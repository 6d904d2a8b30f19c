-- Upkeep: what is done again and again, how far the car really ran, and how long it stands.

create table upkeep_items (
    id text primary key,
    car_id text not null references cars (id),
    what text not null,
    -- the interval as typed, read by trade::upkeep::Interval; either may be empty, never both
    distance text not null default '',
    -- trade::upkeep::DistanceUnit by name
    unit text not null,
    months text not null default '',
    -- trade::spec::SourceKind by name, and where it stands written
    source_kind text not null,
    citation text not null default '',
    page text not null default '',
    -- the card that does it, where there is one
    card_id text references cards (id),
    rev integer not null default 1,
    gone_at integer
) strict;
create index upkeep_items_by_car on upkeep_items (car_id);

-- Odometer readings of days before this book, from papers. Those read on the car are operations.
create table odometer_papers (
    id text primary key,
    car_id text not null references cars (id),
    day text not null,
    number text not null,
    unit text not null,
    -- the paper: an invoice, an inspection slip
    from_where text not null,
    made_at integer not null
) strict;
create index odometer_papers_by_car on odometer_papers (car_id);

-- What somebody said of a reading. Only added: the latest of a reading holds, and nothing is overwritten.
create table odometer_words (
    id integer primary key,
    car_id text not null references cars (id),
    -- the id of an operation or of a paper
    reading text not null,
    -- rolled-over, replaced, stood, other-unit, misread; empty: nothing any more
    kind text not null,
    digits text not null default '',
    -- of a replaced clock, what the old one showed last (may be empty) and where the new one began;
    -- of one that stood, the least and the most that was run meanwhile (both may be empty)
    first text not null default '',
    first_unit text not null default 'km',
    second text not null default '',
    second_unit text not null default 'km',
    note text not null default '',
    made_at integer not null
) strict;
create index odometer_words_by_car on odometer_words (car_id);

-- Times during which a car stands, put away. At most one of a car has no end.
create table stays (
    id integer primary key,
    car_id text not null references cars (id),
    since text not null,
    until text,
    made_at integer not null
) strict;
create unique index stays_open on stays (car_id) where until is null;
