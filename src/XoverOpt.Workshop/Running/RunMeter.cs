using System.Diagnostics.Metrics;

namespace XoverOpt.Workshop.Running;

/// <summary>What runs tell about their work, for whoever listens to the meter "XoverOpt".</summary>
public static class RunMeter
{
    /// <summary>The meter's name.</summary>
    public const string Name = "XoverOpt";

    private static readonly Meter Meter = new(Name, BuildFile.ProgramVersion);

    /// <summary>Evaluations of an earpiece; one with derivatives counts as many as it does in a search.</summary>
    public static readonly Counter<long> Evaluations = Meter.CreateCounter<long>("xoveropt.evaluations", "{evaluation}", "Evaluations of an earpiece.");

    /// <summary>From one batch of results told to the next, s.</summary>
    public static readonly Histogram<double> BatchDuration = Meter.CreateHistogram<double>("xoveropt.batch.duration", "s", "Time between two batches of results.");

    /// <summary>Writing a checkpoint, s.</summary>
    public static readonly Histogram<double> StepDuration = Meter.CreateHistogram<double>("xoveropt.step.duration", "s", "Time to write a checkpoint.");

    /// <summary>Leases of runs that were lost to another worker or could no longer be kept.</summary>
    public static readonly Counter<long> LeaseLosses = Meter.CreateCounter<long>("xoveropt.lease.losses", "{lease}", "Leases lost.");

    /// <summary>Shards of other workers' runs taken and evaluated here.</summary>
    public static readonly Counter<long> ShardsTaken = Meter.CreateCounter<long>("xoveropt.shards.taken", "{shard}", "Shards taken from other workers' runs.");

    /// <summary>Shards of own runs whose results came from other workers in time.</summary>
    public static readonly Counter<long> ShardsReturned = Meter.CreateCounter<long>("xoveropt.shards.returned", "{shard}", "Shards lent to other workers that came back in time.");
}
