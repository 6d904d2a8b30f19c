-- How the bolts of a torque lie and in which order they are tightened.

-- JSON of trade::bolt_order::Picture; absent where none was drawn. How many bolts there are, `fastener` says.
alter table specs add column bolts text;
