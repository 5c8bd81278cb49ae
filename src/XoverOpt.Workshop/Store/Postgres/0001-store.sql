-- The same tables as in the embedded store. Times are milliseconds since 1970-01-01 UTC.
-- The one clock of all processes: fixed within a statement.
create function now_ms() returns bigint language sql stable
    as $$ select (extract(epoch from statement_timestamp()) * 1000)::bigint $$;

create table inventories (
    hash       text   not null primary key,
    json       text   not null,
    created_at bigint not null
);

create table runs (
    id              text    not null primary key,
    name            text    not null,
    state           text    not null check (state in ('waiting', 'running', 'stopping', 'done', 'stopped', 'failed')),
    job             text    not null,
    job_hash        text    not null,
    inventory_hash  text    not null,
    seed            text    not null,
    program_version text    not null,
    created_at      bigint  not null,
    started_at      bigint,
    ended_at        bigint,
    epoch           bigint  not null default 0,
    owner           text,
    lease_until     bigint,
    not_before      bigint  not null default 0,
    attempts        integer not null default 0,
    step            bigint  not null default 0,
    stop_requested  integer not null default 0,
    progress        text,
    reason          text,
    failure         text,
    result          text,
    priority        integer not null default 0,
    deadline        bigint,
    notify          text,
    lease_ms        bigint  not null default 0,
    last_event      bigint  not null default 0,
    inventory_key   text references inventories (hash),
    inventory_at    integer
);
create index runs_by_state on runs (state, created_at, id);
create index runs_by_age on runs (created_at, id);
create index runs_by_turn on runs (priority desc, created_at, id) where state in ('waiting', 'running', 'stopping');
create index runs_by_inventory on runs (inventory_key);
create index runs_by_end on runs (ended_at);

create table checkpoints (
    run_id text   not null primary key references runs (id) on delete cascade,
    step   bigint not null,
    state  bytea  not null
);

create table builds (
    run_id text             not null references runs (id) on delete cascade,
    rank   integer          not null,
    cost   double precision not null,
    json   text             not null,
    primary key (run_id, rank)
);

create table idempotency_keys (
    key          text   not null primary key,
    request_hash text   not null,
    run_id       text   not null references runs (id) on delete cascade,
    created_at   bigint not null
);
create index idempotency_keys_by_run on idempotency_keys (run_id);

create table events (
    run_id   text   not null references runs (id) on delete cascade,
    sequence bigint not null,
    at       bigint not null,
    kind     text   not null,
    data     text   not null,
    primary key (run_id, sequence)
);

create table api_keys (
    name       text   not null primary key,
    scope      text   not null check (scope in ('read', 'submit', 'admin')),
    salt       bytea  not null,
    hash       bytea  not null,
    created_at bigint not null,
    revoked_at bigint,
    used_at    bigint
);

create table outbox (
    run_id       text    not null primary key references runs (id) on delete cascade,
    url          text    not null,
    attempts     integer not null default 0,
    next_at      bigint,
    delivered_at bigint,
    last_failure text
);
create index outbox_by_turn on outbox (next_at) where next_at is not null;

create table worker_pause (
    one   integer not null primary key check (one = 1),
    who   text    not null,
    since bigint  not null
);

-- Only here: between the processes that share a run. Lost in a crash of the database, by design.
create unlogged table shards (
    run_id      text    not null references runs (id) on delete cascade,
    epoch       bigint  not null,
    batch       bigint  not null,
    number      integer not null,
    posted      bigint  not null generated always as identity,
    payload     bytea   not null,
    result      bytea,
    fence       bigint  not null default 0,
    owner       text,
    lease_until bigint,
    primary key (run_id, epoch, batch, number)
);
create index shards_by_turn on shards (posted) where result is null;
