-- The sockets, keys and adapters of the garage: they serve every car.
--
-- Everything is kept as it was typed, and read again by trade::tools::Tool whenever it is used.

create table chest_tools (
    id text primary key,
    -- trade::tools::ToolKind by name
    kind text not null,
    -- as it stands on the tool, such as 19 mm, 3/4 in, T40; empty for what has none
    size text not null default '',
    -- trade::tools::Drive by name; empty: has none, or nobody looked
    drive text not null default '',
    -- of a drive adapter, the square that it makes of the first
    onto text not null default '',
    -- overall length and outside diameter; empty: never measured
    reach text not null default '',
    outer_diameter text not null default '',
    place_in_order integer not null,
    rev integer not null default 1,
    gone_at integer
) strict;
