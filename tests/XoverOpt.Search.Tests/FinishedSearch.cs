namespace XoverOpt.Search.Tests;

/// <summary>One finished search of the small two-way problem, shared by tests that only look.</summary>
public sealed class FinishedSearch
{
    public FinishedSearch() => Search = SearchRunner.Run(new LayoutSearch(SmallProblem.TwoWay()));

    public LayoutSearch Search { get; }
}
