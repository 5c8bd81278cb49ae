using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace XoverOpt.Workshop;

/// <summary>Changes to the text of a job: what is known beforehand, a merge patch, its drawer put beside it.</summary>
public static class JobEdit
{
    private static readonly JsonSerializerOptions Readable = new() { WriteIndented = true, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>The job with builds to begin from, in place of any it bore.</summary>
    /// <param name="job">The job, JSON.</param>
    /// <param name="of">The run they come from.</param>
    /// <param name="builds">Build files, best first; no more are taken than a job may bear.</param>
    public static string WithKnown(string job, string of, IEnumerable<string> builds)
    {
        JsonObject whole = JsonNode.Parse(job)!.AsObject();
        whole["known"] = Known(of, builds);
        return whole.ToJsonString(Readable);
    }

    /// <summary>What a job bears of builds to begin from.</summary>
    public static JsonObject Known(string of, IEnumerable<string> builds) => new()
    {
        ["of"] = of,
        ["builds"] = new JsonArray([.. builds.Take(KnownBuildReader.Most).Select(build => (JsonNode)KnownBuildReader.Bare(JsonNode.Parse(build)!.AsObject()))]),
    };

    /// <summary>A build as a job bears it in itself.</summary>
    /// <param name="build">A build file.</param>
    public static JsonObject Bare(string build) => KnownBuildReader.Bare(JsonNode.Parse(build)!.AsObject());

    /// <summary>A merge patch applied (RFC 7396): what the patch names is replaced, null removes, objects are gone into.</summary>
    public static JsonNode? Merge(JsonNode? target, JsonNode? patch)
    {
        if (patch is not JsonObject changes)
        {
            return patch?.DeepClone();
        }

        JsonObject result = target is JsonObject old ? (JsonObject)old.DeepClone() : [];
        foreach ((string key, JsonNode? value) in changes)
        {
            if (value is null)
            {
                result.Remove(key);
            }
            else
            {
                result[key] = Merge(result[key], value);
            }
        }

        return result;
    }

    /// <summary>A self-contained job as two files that lie side by side: the job, which names its inventory, and the inventory.</summary>
    /// <param name="job">A job with its inventory inside.</param>
    public static (string Job, string Inventory) Apart(string job)
    {
        JsonObject whole = JsonNode.Parse(job)!.AsObject();
        JsonNode? inventory = whole["inventory"];
        whole["inventory"] = "inventory.json";

        // Such files are handed around, and whoever knows this address may call there.
        (whole["schedule"] as JsonObject)?.Remove("notify");
        return (whole.ToJsonString(Readable) + "\n", inventory!.ToJsonString(Readable) + "\n");
    }
}
