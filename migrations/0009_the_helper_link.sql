-- Links by which a helper reads one job, without pairing. Only the SHA-256 of a link's secret is kept.

create table helper_links (
    id text primary key,
    card_id text not null references cards (id),
    -- who has it, in the restorer's words
    label text not null,
    secret_hash text not null unique,
    -- whether the helper may ring: done, or stop
    may_ring integer not null default 0 check (may_ring in (0, 1)),
    made_at integer not null,
    ends_at integer not null,
    -- when it was taken back; null while it was not
    taken_back_at integer
) strict;
create index helper_links_by_card on helper_links (card_id);
