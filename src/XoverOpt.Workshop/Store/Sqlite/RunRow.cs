using System.Globalization;

namespace XoverOpt.Workshop.Store.Sqlite;

/// <summary>A row of the runs table, as the database gives it.</summary>
internal sealed class RunRow
{
    /// <summary>The columns to select.</summary>
    public const string Columns =
        """
        id as Id, name as Name, state as State, job_hash as JobHash, inventory_hash as InventoryHash, seed as Seed,
        program_version as ProgramVersion, created_at as CreatedAt, started_at as StartedAt, ended_at as EndedAt, epoch as Epoch,
        attempts as Attempts, step as Step, progress as Progress, reason as Reason, failure as Failure, result as Result
        """;

    public string Id { get; init; } = "";

    public string Name { get; init; } = "";

    public string State { get; init; } = "";

    public string JobHash { get; init; } = "";

    public string InventoryHash { get; init; } = "";

    public string Seed { get; init; } = "";

    public string ProgramVersion { get; init; } = "";

    public long CreatedAt { get; init; }

    public long? StartedAt { get; init; }

    public long? EndedAt { get; init; }

    public long Epoch { get; init; }

    public int Attempts { get; init; }

    public long Step { get; init; }

    public string? Progress { get; init; }

    public string? Reason { get; init; }

    public string? Failure { get; init; }

    public string? Result { get; init; }

    public static string TextOf(RunState state) => state switch
    {
        RunState.Waiting => "waiting",
        RunState.Running => "running",
        RunState.Stopping => "stopping",
        RunState.Done => "done",
        RunState.Stopped => "stopped",
        _ => "failed",
    };

    public static RunState StateOf(string text) => Enum.Parse<RunState>(text, ignoreCase: true);

    public RunRecord ToRecord() => new()
    {
        Id = Id,
        Name = Name,
        State = StateOf(State),
        JobHash = JobHash,
        InventoryHash = InventoryHash,
        Seed = ulong.Parse(Seed, CultureInfo.InvariantCulture),
        ProgramVersion = ProgramVersion,
        Created = DateTimeOffset.FromUnixTimeMilliseconds(CreatedAt),
        Started = Time(StartedAt),
        Ended = Time(EndedAt),
        Epoch = Epoch,
        Attempts = Attempts,
        Step = Step,
        Progress = Progress,
        Reason = Reason,
        Failure = Failure,
        Result = Result,
    };

    private static DateTimeOffset? Time(long? at) => at is { } time ? DateTimeOffset.FromUnixTimeMilliseconds(time) : null;
}

/// <summary>What a claim returns.</summary>
internal sealed class ClaimRow
{
    public long Epoch { get; init; }

    public long Step { get; init; }

    public int Attempts { get; init; }

    public string Job { get; init; } = "";

    public string? Failure { get; init; }
}

/// <summary>A row of the builds table.</summary>
internal sealed class BuildRow
{
    public int Rank { get; init; }

    public double Cost { get; init; }

    public string Json { get; init; } = "";

    public StoredBuild ToBuild() => new(Rank, Cost, Json);
}

/// <summary>A row of the table of idempotency keys.</summary>
internal sealed class KeyRow
{
    public string RunId { get; init; } = "";

    public string RequestHash { get; init; } = "";
}
