-- Times are milliseconds since 1970, UTC.

-- +goose Up

-- Messages already taken, so that one that comes twice is answered once.
create table seen (
	id text primary key,
	at integer not null
) without rowid;

-- What was last registered somewhere, so that it is sent again only if changed.
create table registered (
	name text primary key,
	hash text not null,
	at   integer not null
) without rowid;

-- What was talked about. It may hold a rider's weight: rows expire.
create table talk (
	workspace text not null,
	channel   text not null,
	person    text not null,
	base      text not null,
	asking    text, -- the open question as JSON
	pending   text not null,
	last      text, -- what why needs of the last answer, as JSON
	offers    text, -- lines offered as choices, as JSON
	at        integer not null,
	primary key (workspace, channel, person)
) without rowid;
create index talk_at on talk (at);

-- +goose Down
drop table talk;
drop table registered;
drop table seen;
