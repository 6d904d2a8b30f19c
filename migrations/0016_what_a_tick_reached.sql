-- What the spec book asked for when a step was ticked: its torque, its fluid, its quantity, in words.
--
-- Kept beside the tick, because the book may say something else next year, and the logbook tells what was done then.
-- A tick that was stored before this table was made has no row.

create table reached (
    op_seq integer primary key references ops (seq),
    words text not null
) strict;
