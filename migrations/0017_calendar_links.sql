-- Links by which a calendar program reads the evenings of a car, without pairing: it cannot pair. Only the SHA-256 of a
-- link's secret is kept.

create table calendar_links (
    id text primary key,
    car_id text not null references cars (id),
    -- which program or whose, in the restorer's words
    label text not null,
    secret_hash text not null unique,
    made_at integer not null,
    -- when it was taken back; null while it was not
    taken_back_at integer
) strict;
create index calendar_links_by_car on calendar_links (car_id);
