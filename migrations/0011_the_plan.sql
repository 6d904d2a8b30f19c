-- What the plan of a car is made from beyond its cards: what comes after what, what is put off, the evenings there are,
-- jobs kept to an evening, and the plan that was kept last.

-- Not to be planned for now. Wanted is what a card is unless somebody says otherwise.
alter table cards add column put_off integer not null default 0 check (put_off in (0, 1));

-- A card is begun only when those it comes after are finished.
create table card_after (
    card_id text not null references cards (id),
    after_id text not null references cards (id),
    primary key (card_id, after_id),
    check (card_id <> after_id)
) strict;

-- An evening belongs to one car, although the garage has one restorer: two cars that plan the same evening would promise
-- it twice.
create table evenings (
    id text primary key,
    car_id text not null references cars (id),
    day text not null,
    -- `19:00`, by the clock on the garage's wall
    starts text not null,
    minutes integer not null check (minutes between 1 and 1440),
    helper integer not null default 0 check (helper in (0, 1)),
    note text not null default '',
    rev integer not null default 1,
    gone_at integer
) strict;
create index evenings_by_car on evenings (car_id, day, starts);

-- A change that was kept: all that is left of the card is done in that evening.
create table plan_pins (
    card_id text primary key references cards (id),
    evening_id text not null references evenings (id)
) strict;

-- The plan that was kept last. Another one is cheap to make; this one is held so that it can be said what changed since.
create table kept_plans (
    car_id text primary key references cars (id),
    made_at integer not null,
    -- JSON, as its writer wants it
    plan text not null,
    -- JSON of plan::facts::Facts: what it was made from
    facts text not null
) strict;
