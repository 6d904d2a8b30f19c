-- What the card checker has to know of a step beyond its verb and thing, and of a card beyond its steps.

-- JSON of trade::marks::Marks.
alter table steps add column marks text not null default '{}';

-- Somebody is asked to help with this card.
alter table cards add column helper integer not null default 0 check (helper in (0, 1));
