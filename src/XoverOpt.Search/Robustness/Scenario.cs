using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>One of several circumstances a build may have to work in: another ear or another source than the job's.</summary>
/// <param name="Name">What it is, in a few words.</param>
/// <param name="Weight">How much it counts; the weights of a list add up to one.</param>
/// <param name="Ear">What the tip speaks into.</param>
/// <param name="Source">What drives the socket.</param>
public sealed record Scenario(string Name, double Weight, Ear Ear, Source Source)
{
    /// <summary>The job under these circumstances.</summary>
    public Problem Of(Problem problem) => problem with { Ear = Ear, Source = Source };
}
