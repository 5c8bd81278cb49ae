using XoverOpt.Search;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Running;

/// <summary>The builds of a search as they are kept: the one text of a build, for files, store and API alike.</summary>
public static class FoundBuilds
{
    /// <summary>Every build as a build file, best first.</summary>
    public static IReadOnlyList<StoredBuild> Write(SearchResult result, Problem problem)
    {
        var evaluation = new BuildEvaluation(problem);
        return [.. result.Builds.Select(build => new StoredBuild(
            build.Rank, build.Cost.Total, BuildFile.Write(build, problem, evaluation.Response(build.Earpiece))))];
    }
}
