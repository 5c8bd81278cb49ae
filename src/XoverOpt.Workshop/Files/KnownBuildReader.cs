using System.Text.Json.Nodes;
using XoverOpt.Acoustics;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads the builds that a job bears in itself: their ways, and which job and rank they had. A receiver that the drawer does not have is no
/// fault here, since drawers change.
/// </summary>
internal static class KnownBuildReader
{
    /// <summary>Most builds a job may bear.</summary>
    public const int Most = 200;

    private static readonly string[] Said = ["job", "rank", "ways"];

    /// <summary>Reads "known" of a job.</summary>
    /// <param name="reader">At it; null where the job has none.</param>
    /// <param name="inventory">The drawer; null when it could not be read.</param>
    public static JobKnown? Known(ObjectReader? reader, Inventory? inventory)
    {
        if (reader is null)
        {
            return null;
        }

        string? of = reader.Text("of");
        List<Earpiece> builds = [.. (reader.RequiredList("builds", 0, Most) ?? []).Select(item => Read(item, inventory)?.Build).OfType<Earpiece>()];
        reader.Finish();
        return new(of, builds);
    }

    /// <summary>Reads one build.</summary>
    /// <returns>It, with its job and rank; null after a fault.</returns>
    public static (Earpiece Build, string? Job, int? Rank)? Read(JsonCursor at, Inventory? inventory)
    {
        int before = at.Faults.Count;
        if (at.AsObject("an object with the ways of a build") is not { } reader)
        {
            return null;
        }

        string? job = reader.Text("job");
        int? rank = (int?)reader.Whole("rank", 0, 1_000_000);
        Dictionary<string, Receiver> receivers = inventory?.Receivers.ToDictionary(held => held.Receiver.PartNumber, held => held.Receiver) ?? [];
        Earpiece build = new(new BuildFileWayReader(receivers, mayBeGone: true).Read(reader.RequiredList("ways", 1, 16) ?? []));
        reader.Finish();
        return at.Faults.Count == before ? (build, job, rank) : null;
    }

    /// <summary>A build file without all that is not read here.</summary>
    public static JsonObject Bare(JsonObject build) =>
        new(Said.Where(build.ContainsKey).Select(key => KeyValuePair.Create(key, build[key]?.DeepClone())));
}
