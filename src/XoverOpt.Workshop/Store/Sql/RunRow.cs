using System.Globalization;

namespace XoverOpt.Workshop.Store.Sql;

/// <summary>A row of the runs table, as the database gives it.</summary>
internal sealed class RunRow
{
    /// <summary>The columns to select.</summary>
    public const string Columns =
        """
        id as Id, name as Name, state as State, job_hash as JobHash, inventory_hash as InventoryHash, seed as Seed,
        program_version as ProgramVersion, created_at as CreatedAt, started_at as StartedAt, ended_at as EndedAt, epoch as Epoch,
        attempts as Attempts, step as Step, progress as Progress, reason as Reason, failure as Failure, result as Result,
        priority as Priority, not_before as NotBefore, deadline as Deadline, notify as Notify, owner as Owner
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

    public int Priority { get; init; }

    public long NotBefore { get; init; }

    public long? Deadline { get; init; }

    public string? Notify { get; init; }

    public string? Owner { get; init; }

    public RunRecord ToRecord() => new()
    {
        Id = Id,
        Name = Name,
        State = RunStateText.Parse(State) ?? throw new StoreException($"The store holds a run in the unknown state '{State}'."),
        JobHash = JobHash,
        InventoryHash = InventoryHash,
        Seed = ulong.Parse(Seed, CultureInfo.InvariantCulture),
        ProgramVersion = ProgramVersion,
        Created = StoreTime.Of(CreatedAt),
        Started = StoreTime.Of(StartedAt),
        Ended = StoreTime.Of(EndedAt),
        Epoch = Epoch,
        Attempts = Attempts,
        Step = Step,
        Progress = Progress,
        Reason = Reason,
        Failure = Failure,
        Result = Result,
        Priority = Priority,
        NotBefore = NotBefore > 0 ? StoreTime.Of(NotBefore) : null,
        Deadline = StoreTime.Of(Deadline),
        Notify = Notify,
        Owner = Owner,
    };
}

/// <summary>What a claim returns.</summary>
internal sealed class ClaimRow
{
    public long Epoch { get; init; }

    public long Step { get; init; }

    public int Attempts { get; init; }

    public string? Failure { get; init; }

    public long? Deadline { get; init; }

    public long Now { get; init; }

    public string State { get; init; } = "";
}

/// <summary>A job's text, cut in two.</summary>
internal sealed class JobRow
{
    public string Rest { get; init; } = "";

    public string? Inventory { get; init; }

    public int? At { get; init; }

    public string Whole() => new JobText(Rest, Inventory, At).Whole();
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
