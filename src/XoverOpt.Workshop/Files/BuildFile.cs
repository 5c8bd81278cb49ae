using System.Reflection;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>The build/1 file: one earpiece, what it does and what it costs.</summary>
public static class BuildFile
{
    /// <summary>The caution every build and result bears.</summary>
    public const string Caution =
        "Levels are at the eardrum of an ear simulator, one average ear. Loud sound injures hearing for good, and the peak levels named here "
        + "can do so within seconds: start low, limit the drive and the time, and keep to local rules on noise. Taking an ear impression can "
        + "hurt the ear: leave it to somebody trained and, where the law asks for it, licensed.";

    /// <summary>The version of the program that is running.</summary>
    public static string ProgramVersion { get; } =
        typeof(BuildFile).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "unknown";

    /// <summary>The text of a build file. The same arguments give the same text, in any culture.</summary>
    /// <param name="build">The build; every value as it can be bought or cut.</param>
    /// <param name="problem">The problem it answers: its lists give the part numbers.</param>
    /// <param name="response">Its response.</param>
    /// <param name="programVersion">Version to name; the running program's where left out.</param>
    public static string Write(RankedBuild build, Problem problem, EarpieceResponse response, string? programVersion = null) =>
        BuildFileJson.Text(json =>
        {
            json.WriteString("format", "build/1");
            json.WriteNumber("rank", build.Rank);
            json.WriteString("job", problem.Name);
            json.WriteString("jobHash", problem.JobHash);
            json.WriteString("inventoryHash", problem.InventoryHash);
            json.WriteString("programVersion", programVersion ?? ProgramVersion);
            json.WriteString("caution", Caution);
            json.WriteString("key", build.Key);
            json.WriteBoolean("feasible", build.Feasible);
            json.WriteFinite("violation", build.Violation);
            json.WriteStartArray("brokenLimits");
            foreach (string limit in build.BrokenLimits)
            {
                json.WriteStringValue(limit);
            }

            json.WriteEndArray();
            json.WriteFinite("relaxedCost", build.RelaxedCost);
            BuildFileWriter.Cost(json, build.Cost);
            BuildFileWriter.Figures(json, build.Figures);
            BuildFileWays.Write(json, build.Earpiece, problem);
            BuildFileWriter.Response(json, response);
        });
}
