-- Times are milliseconds since 1970-01-01 UTC. A run is open in the states waiting, running and stopping.
create table runs (
    id              text    not null primary key,
    name            text    not null,
    state           text    not null check (state in ('waiting', 'running', 'stopping', 'done', 'stopped', 'failed')),
    job             text    not null,
    job_hash        text    not null,
    inventory_hash  text    not null,
    seed            text    not null,
    program_version text    not null,
    created_at      integer not null,
    started_at      integer,
    ended_at        integer,
    epoch           integer not null default 0,
    owner           text,
    lease_until     integer,
    not_before      integer not null default 0,
    attempts        integer not null default 0,
    step            integer not null default 0,
    stop_requested  integer not null default 0,
    progress        text,
    reason          text,
    failure         text,
    result          text
) strict;
create index runs_by_state on runs (state, created_at, id);
create index runs_by_age on runs (created_at, id);

create table checkpoints (
    run_id text    not null primary key references runs (id) on delete cascade,
    step   integer not null,
    state  blob    not null
) strict;

create table builds (
    run_id text    not null references runs (id) on delete cascade,
    rank   integer not null,
    cost   real    not null,
    json   text    not null,
    primary key (run_id, rank)
) strict;

create table idempotency_keys (
    key          text    not null primary key,
    request_hash text    not null,
    run_id       text    not null references runs (id) on delete cascade,
    created_at   integer not null
) strict;
