-- Fluids to buy and fluids on hand, for the bottle plan of a car's buy list.
--
-- Fluid and volume are kept as they were typed, and read again by trade::fluid::Fluid and trade::quantity::Volume.

create table bottle_sizes (
    id text primary key,
    car_id text not null references cars (id),
    -- by published class, as the label has it
    fluid text not null,
    holds text not null,
    -- in hundredths of the currency
    price_minor integer not null,
    currency text not null,
    gone_at integer
) strict;
create index bottle_sizes_by_car on bottle_sizes (car_id);

create table shelf_fluids (
    id text primary key,
    car_id text not null references cars (id),
    fluid text not null,
    volume text not null,
    opened integer not null,
    -- ISO 8601 day on which it was opened, or bought where it is still sealed; empty: not known
    since text not null default '',
    gone_at integer
) strict;
create index shelf_fluids_by_car on shelf_fluids (car_id);
