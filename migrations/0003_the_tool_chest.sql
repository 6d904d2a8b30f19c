-- The torque wrenches of the garage: they serve every car.
--
-- Everything is kept as it was typed, and read again by trade::torque_wrench::Wrench whenever it is used.

create table wrenches (
    id text primary key,
    name text not null,
    -- trade::torque_wrench::WrenchKind by name
    kind text not null,
    -- lowest to highest mark with its unit, and the step from mark to mark
    span text not null,
    graduation text not null,
    -- in percent, from its sheet; empty: what its standard permits
    deviation text not null default '',
    -- ISO 8601 day; empty: not known
    calibrated_on text not null default '',
    uses text not null default '',
    -- from the middle of the drive square to the middle of the grip; empty: never measured
    lever text not null default '',
    serial text not null default '',
    rev integer not null default 1,
    gone_at integer
) strict;
