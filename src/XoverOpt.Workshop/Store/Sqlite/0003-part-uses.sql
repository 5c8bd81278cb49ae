-- What each stored build uses, for the question where a part is used. A row lives and goes with its build; filled from the builds that
-- are there. length_um: all cuts of a tubing together, µm; null for what comes in pieces.
create table part_uses (
    part      text    not null,
    run_id    text    not null,
    rank      integer not null,
    kind      text    not null,
    pieces    integer not null,
    length_um integer,
    primary key (part, run_id desc, rank),
    foreign key (run_id, rank) references builds (run_id, rank) on delete cascade
) strict, without rowid;
create index part_uses_by_build on part_uses (run_id, rank);

-- The latest run of a job; with the state and the time, so that the rows, which hold whole jobs, are not read.
create index runs_by_job on runs (job_hash, created_at desc, id desc, state, ended_at);
create index runs_of_jobs on runs (id, state, job_hash);
