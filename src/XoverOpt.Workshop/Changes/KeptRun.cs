using System.Text;
using System.Text.Json.Nodes;

namespace XoverOpt.Workshop.Changes;

/// <summary>A run as it was kept: the job and drawer it had, and what it found.</summary>
public sealed record KeptRun
{
    /// <summary>What people call it: its id or its folder.</summary>
    public required string Label { get; init; }

    /// <summary>The job, with the drawer as it was then.</summary>
    public required JobDocument Job { get; init; }

    /// <summary>Its builds, best first, as they were written.</summary>
    public required IReadOnlyList<BuildDocument> Builds { get; init; }

    /// <summary>Why the search ended, such as "evaluations-used"; null where not known.</summary>
    public string? Reason { get; init; }

    /// <summary>Evaluations used; null where not known.</summary>
    public long? Evaluations { get; init; }

    /// <summary>Version of the program that searched; null where not known.</summary>
    public string? ProgramVersion { get; init; }

    /// <summary>Puts a run together from its texts. The faults are those of the job, or else those of the builds and the result.</summary>
    /// <param name="label">What people call it.</param>
    /// <param name="job">The job as read.</param>
    /// <param name="builds">Names and texts of its build files, best first.</param>
    /// <param name="result">Text of its result file; null where there is none.</param>
    public static Reading<KeptRun> Of(string label, Reading<JobDocument> job, IEnumerable<(string Name, string Text)> builds, string? result)
    {
        if (!job.IsGood)
        {
            return new(null, job.Faults);
        }

        FaultList faults = new();
        List<BuildDocument> read = [];
        foreach ((string name, string text) in builds)
        {
            Reading<BuildInJob> build = BuildInJob.Read(Encoding.UTF8.GetBytes(text), name, job.Value);
            foreach (Fault fault in build.Faults)
            {
                faults.Add(fault);
            }

            if (build.IsGood)
            {
                read.Add(build.Value.Build);
            }
        }

        JsonObject? end = result is null ? null : JsonSource.Parse(label, Encoding.UTF8.GetBytes(result), faults) is { } at ? JsonObject.Create(at.Element) : null;
        return faults.End(faults.Count > 0 ? null : new KeptRun
        {
            Label = label,
            Job = job.Value,
            Builds = read,
            Reason = (string?)end?["reason"],
            Evaluations = (long?)end?["evaluations"],
            ProgramVersion = (string?)end?["programVersion"] ?? (read.Count > 0 ? read[0].ProgramVersion : null),
        });
    }
}
