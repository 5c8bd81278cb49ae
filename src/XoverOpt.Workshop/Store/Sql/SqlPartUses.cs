using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Store.Sql;

/// <summary>The uses of parts, in a database.</summary>
internal sealed class SqlPartUses(Database database) : IPartUses
{
    /// <summary>The rows of a build's parts.</summary>
    public const string InsertSql =
        "insert into part_uses (part, run_id, rank, kind, pieces, length_um) values (@Part, @RunId, @Rank, @Kind, @Pieces, @LengthUm)";

    // By run in the order of the index: counting distinct runs would sort them all again.
    public const string CountSql =
        """
        select (select kind from part_uses where part = @part limit 1) as Kind, cast(coalesce(sum(builds), 0) as bigint) as Builds, count(*) as Runs
        from (select count(*) as builds from part_uses where part = @part group by run_id) per_run
        """;

    public const string UsesSql =
        """
        select page.run_id as RunId, page.rank as Rank, page.pieces as Pieces, page.length_um as LengthUm, runs.name as Job, runs.state as State,
            runs.ended_at as EndedAt, builds.cost as Cost
        from (
            select run_id, rank, pieces, length_um from part_uses
            where part = @part and run_id <= @run and (run_id < @run or rank > @rank)
            order by run_id desc, rank limit @take
        ) page
        join runs on runs.id = page.run_id
        join builds on builds.run_id = page.run_id and builds.rank = page.rank
        order by page.run_id desc, page.rank
        """;

    // First the jobs the part is in and their latest runs, from indexes alone; then, for one page of them, the figures. The cross join is for
    // SQLite, which else goes through all runs and looks for the part in each.
    public const string WithoutSql =
        $"""
        with uses as (
            select run_id, count(*) as lost from part_uses where part = @part group by run_id
        ),
        jobs as (
            select runs.job_hash, cast(sum(uses.lost) as bigint) as all_lost from uses cross join runs
            where runs.id = uses.run_id and runs.{SqlRunStore.Closed} group by runs.job_hash
        ),
        latest as materialized (
            select jobs.job_hash, jobs.all_lost, (
                select runs.id from runs
                where runs.job_hash = jobs.job_hash and runs.{SqlRunStore.Closed} and exists (select 1 from builds where builds.run_id = runs.id)
                order by runs.created_at desc, runs.id desc limit 1
            ) as run_id
            from jobs
        ),
        page as (
            select job_hash, all_lost, run_id,
                (select min(rank) from builds where builds.run_id = latest.run_id and not exists (
                    select 1 from part_uses where part_uses.part = @part and part_uses.run_id = builds.run_id and part_uses.rank = builds.rank)) as next_rank
            from latest where @after is null or run_id < @after order by run_id desc limit @take
        )
        select runs.name as Job, page.job_hash as JobHash, page.run_id as RunId, runs.ended_at as EndedAt, page.all_lost as AllLost, page.next_rank as NextRank,
            (select count(*) from builds where builds.run_id = page.run_id) as Builds,
            (select count(*) from part_uses where part_uses.part = @part and part_uses.run_id = page.run_id) as Lost,
            (select cost from builds where builds.run_id = page.run_id order by rank limit 1) as BestCost,
            (select cost from builds where builds.run_id = page.run_id and builds.rank = page.next_rank) as NextCost,
            (select count(distinct builds.run_id) from runs other join builds on builds.run_id = other.id where other.job_hash = page.job_hash and other.{SqlRunStore.Closed}) as AllRuns,
            (select count(*) from runs other join builds on builds.run_id = other.id where other.job_hash = page.job_hash and other.{SqlRunStore.Closed}) as AllBuilds
        from page join runs on runs.id = page.run_id
        order by page.run_id desc
        """;

    // From each name to the next one, instead of through all its rows.
    public const string PartsSql =
        """
        with recursive names (part) as (
            select min(part) from part_uses
            union all
            select (select min(part) from part_uses where part > names.part) from names where names.part is not null
        )
        select part from names where part is not null
        """;

    // Beyond any run's id, which begins with a digit of its time, in any order of texts.
    private const string Newest = "z";

    /// <inheritdoc/>
    public PartKind? Kind(string part) =>
        database.One<string>("select kind from part_uses where part = @part limit 1", new { part }) is { } kind ? Enum.Parse<PartKind>(kind, ignoreCase: true) : null;

    /// <inheritdoc/>
    public PartUseCount? Count(string part) =>
        database.One<CountRow>(CountSql, new { part }) is { Kind: { } kind } row ? new(Enum.Parse<PartKind>(kind, ignoreCase: true), (int)row.Builds, (int)row.Runs) : null;

    /// <inheritdoc/>
    public IReadOnlyList<PartUse> Uses(string part, BuildPlace? after, int take) =>
        [.. database.Many<UseRow>(UsesSql, new { part, run = after?.RunId ?? Newest, rank = after?.Rank ?? 0, take }).Select(row => row.ToUse())];

    /// <inheritdoc/>
    public IReadOnlyList<PartLoss> Without(string part, string? afterRun, int take) =>
        [.. database.Many<LossRow>(WithoutSql, new { part, after = afterRun, take }).Select(row => row.ToLoss())];

    /// <inheritdoc/>
    public IReadOnlyList<string> Parts() => database.Many<string>(PartsSql);

    /// <summary>The rows of a build's parts, for <see cref="InsertSql"/>.</summary>
    public static IEnumerable<object> Rows(string runId, int rank, string json) => BuildParts.Of(json).Select(part => new
    {
        part.Part,
        RunId = runId,
        Rank = rank,
        Kind = part.Kind.ToString().ToLowerInvariant(),
        part.Pieces,
        LengthUm = part.LengthMm is { } mm ? (long)Math.Round(mm * 1000) : (long?)null,
    });

    private sealed class CountRow
    {
        public string? Kind { get; init; }

        public long Builds { get; init; }

        public long Runs { get; init; }
    }

    private sealed class UseRow
    {
        public string RunId { get; init; } = "";

        public int Rank { get; init; }

        public int Pieces { get; init; }

        public long? LengthUm { get; init; }

        public string Job { get; init; } = "";

        public string State { get; init; } = "";

        public long? EndedAt { get; init; }

        public double Cost { get; init; }

        public PartUse ToUse() => new(new(RunId, Rank), Job, RunStateText.Parse(State)!.Value, StoreTime.Of(EndedAt), Cost, Pieces, LengthUm / 1000.0);
    }

    private sealed class LossRow
    {
        public string Job { get; init; } = "";

        public string JobHash { get; init; } = "";

        public string RunId { get; init; } = "";

        public long EndedAt { get; init; }

        public long Builds { get; init; }

        public long Lost { get; init; }

        public double BestCost { get; init; }

        public int? NextRank { get; init; }

        public double? NextCost { get; init; }

        public long AllRuns { get; init; }

        public long AllBuilds { get; init; }

        public long AllLost { get; init; }

        public PartLoss ToLoss() => new()
        {
            Job = Job,
            JobHash = JobHash,
            RunId = RunId,
            Ended = StoreTime.Of(EndedAt),
            Builds = (int)Builds,
            Lost = (int)Lost,
            BestCost = BestCost,
            NextRank = NextRank,
            NextCost = NextCost,
            AllRuns = (int)AllRuns,
            AllBuilds = (int)AllBuilds,
            AllLost = (int)AllLost,
        };
    }
}
