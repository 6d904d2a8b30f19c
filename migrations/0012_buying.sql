-- The buy list and the money of a car.
--
-- `state` is what was said of a part at the desk. What came or was used after that is read off the operations, by
-- trade::buying::came: those above `said_after`.

-- trade::buying::Sort by name
alter table parts add column sort text not null default 'part' check (sort in ('part', 'fluid', 'consumable', 'tool'));
-- the number under its bars, where it differs from the part number; as it was read or typed
alter table parts add column barcode text not null default '';
-- ISO 8601; `expected_on` is the earliest day, this the latest
alter table parts add column expected_latest text;
-- how many days delivery takes, as the supplier says: all three or none
alter table parts add column delivery_low integer;
alter table parts add column delivery_likely integer;
alter table parts add column delivery_high integer;
-- when the state was said, and the last operation that was known then
alter table parts add column said_at integer;
alter table parts add column said_after integer not null default 0;

-- Everything that came before this was known to whoever said where a part is.
update parts set said_after = (select coalesce(max(seq), 0) from ops);

-- What may be spent on the car, and what it is worth to its owner: in hundredths of the currency.
alter table cars add column budget_minor integer;
alter table cars add column budget_currency text not null default '';
alter table cars add column worth_minor integer;
alter table cars add column worth_currency text not null default '';
