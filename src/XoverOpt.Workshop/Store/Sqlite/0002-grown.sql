-- Schedules, events, shared inventories, keys, notices, the pause.
create table inventories (
    hash       text    not null primary key,
    json       text    not null,
    created_at integer not null
) strict;

-- inventory_at: where in the job's text the inventory was cut out, in characters; null if the job is whole.
-- lease_ms: length of the lease that lease_until closes.
alter table runs add column priority integer not null default 0;
alter table runs add column deadline integer;
alter table runs add column notify text;
alter table runs add column lease_ms integer not null default 0;
alter table runs add column last_event integer not null default 0;
alter table runs add column inventory_key text references inventories (hash);
alter table runs add column inventory_at integer;
create index runs_by_turn on runs (priority desc, created_at, id) where state in ('waiting', 'running', 'stopping');
create index runs_by_inventory on runs (inventory_key);
create index runs_by_end on runs (ended_at);
create index idempotency_keys_by_run on idempotency_keys (run_id);

create table events (
    run_id   text    not null references runs (id) on delete cascade,
    sequence integer not null,
    at       integer not null,
    kind     text    not null,
    data     text    not null,
    primary key (run_id, sequence)
) strict, without rowid;

create table api_keys (
    name       text    not null primary key,
    scope      text    not null check (scope in ('read', 'submit', 'admin')),
    salt       blob    not null,
    hash       blob    not null,
    created_at integer not null,
    revoked_at integer,
    used_at    integer
) strict;

-- next_at is null once delivered or given up.
create table outbox (
    run_id       text    not null primary key references runs (id) on delete cascade,
    url          text    not null,
    attempts     integer not null default 0,
    next_at      integer,
    delivered_at integer,
    last_failure text
) strict;
create index outbox_by_turn on outbox (next_at) where next_at is not null;

create table worker_pause (
    one   integer not null primary key check (one = 1),
    who   text    not null,
    since integer not null
) strict;
