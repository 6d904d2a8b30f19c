-- Limits that the restorer chose for what is measured on a car. What is measured is named as readings name it; the same
-- name, case and outer blanks apart, is the same thing.
--
-- Everything is kept as it was typed, and read again by trade::limits whenever it is used.

create table limits (
    car_id text not null references cars (id),
    -- the name in lower case
    key text not null,
    what text not null,
    -- trade::limits::Rule by name
    rule text not null,
    -- of the car's own figure: specs that give the least and the most, and the margin in their unit
    least_spec text references specs (id),
    most_spec text references specs (id),
    margin text not null default '',
    -- of the published rules: what each needs to be told
    cylinders text not null default '',
    cells text not null default '',
    wheel text not null default '',
    figure text not null default '',
    rim text not null default '',
    rev integer not null default 1,
    primary key (car_id, key)
) strict;
