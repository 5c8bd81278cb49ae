using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>Puts a stored build into a job that starts from it by run and rank, such as <c>"from": { "build": "019a7c52-…/2" }</c>.</summary>
internal static partial class ParentBuild
{
    /// <summary>The job with the build in it; the job as it came where it names none so.</summary>
    /// <param name="job">The job as it was sent.</param>
    /// <param name="store">Where the build is.</param>
    /// <param name="fault">What is wrong; null if nothing is.</param>
    public static ReadOnlyMemory<byte> PutIn(ReadOnlyMemory<byte> job, IRunStore store, out Fault? fault)
    {
        fault = null;

        // Whatever else is wrong with it, whoever reads it says so.
        if (JsonSource.Parse(JobFile.PostedName, job, new FaultList()) is not { Element: { ValueKind: JsonValueKind.Object } whole }
            || !whole.TryGetProperty("from", out JsonElement from) || from.ValueKind != JsonValueKind.Object
            || !from.TryGetProperty("build", out JsonElement build) || build.ValueKind != JsonValueKind.String
            || RunAndRank().Match(build.GetString()!) is not { Success: true } named)
        {
            return job;
        }

        if (!int.TryParse(named.Groups["rank"].Value, NumberStyles.None, CultureInfo.InvariantCulture, out int rank) || store.Build(named.Groups["run"].Value, rank) is not { } stored)
        {
            fault = new Fault(JobFile.PostedName, "/from/build", $"no build {build.GetString()}", "the id of a run and the rank of one of its builds, such as 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11/2");
            return job;
        }

        JsonObject changed = JsonObject.Create(whole)!;
        changed["from"]!["build"] = JobEdit.Bare(stored.Json);
        return Encoding.UTF8.GetBytes(changed.ToJsonString());
    }

    [GeneratedRegex("^(?<run>[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12})/(?<rank>[0-9]{1,6})$")]
    private static partial Regex RunAndRank();
}
