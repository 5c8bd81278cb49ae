using XoverOpt.Workshop;

namespace XoverOpt.Worker.Analyses;

/// <summary>An analysis of a build as commands and API give it.</summary>
/// <param name="Build">The build: its file, or its rank.</param>
/// <param name="Caution">What must be said where levels are shown.</param>
/// <param name="Notes">What the numbers rest on.</param>
/// <param name="Result">The analysis.</param>
public sealed record BuildAnalysis<T>(string Build, string Caution, IReadOnlyList<string> Notes, T Result)
{
    internal BuildAnalysis(string build, IReadOnlyList<string> notes, T result)
        : this(build, BuildFile.Caution, notes, result)
    {
    }
}
