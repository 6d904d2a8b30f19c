-- Clips of sound, what is known of the shafts while each was taken, and what turns on a car.

-- A clip is small and never changes, so it stands in the database, and a backup holds it.
create table clips (
    -- of the bytes as they came
    sha256 text primary key,
    bytes blob not null,
    -- samples a second
    rate integer not null,
    seconds real not null,
    stored_at integer not null
) strict;

-- All as typed; empty where nothing was said.
create table clip_speeds (
    car_id text not null references cars (id),
    sha256 text not null,
    -- of the engine, turns a minute, and give or take
    turns text not null,
    turns_give text not null,
    -- of the car, km/h, and give or take
    road text not null,
    road_give text not null,
    rev integer not null default 1,
    primary key (car_id, sha256)
) strict;

-- What the speeds of a car's shafts follow from.
create table turning_cars (
    car_id text primary key references cars (id),
    cylinders text not null,
    cycle text not null,
    -- length round a driven tyre
    round text not null,
    -- turns of the propeller shaft to one of the wheels
    axle text not null,
    rev integer not null default 1
) strict;

create table turning_parts (
    id text primary key,
    car_id text not null references cars (id),
    name text not null,
    shaft text not null,
    drive text not null,
    driver text not null,
    driven text not null,
    counts text not null,
    bearing text not null,
    rev integer not null default 1
) strict;
create index turning_parts_by_car on turning_parts (car_id);
