using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>Asks for swaps, having seen to it that they can be tried.</summary>
public static class SwapQuestion
{
    /// <summary>Prepares the swaps of a receiver in a build, or says why there can be none.</summary>
    /// <param name="build">The build and its job.</param>
    /// <param name="receiver">Part number of the receiver that is out.</param>
    /// <param name="place">What faults call the place where it was named.</param>
    /// <param name="pointer">JSON Pointer to it; empty where there is none.</param>
    /// <param name="drawer">What there is to choose from.</param>
    public static Reading<ReceiverSwaps> Of(BuildInJob build, string receiver, string place, string pointer, Inventory drawer)
    {
        string[] used = [.. build.Build.Earpiece.Ways.Select(way => way.Receiver.PartNumber).Distinct()];
        FaultList faults = new();
        if (ReceiverSwaps.Obstacle(build.Job.Problem, build.Build.Earpiece) is { } obstacle)
        {
            faults.Add(new("build", "/ways", $"a build that cannot be optimised under this job: {obstacle}", "a build with the ways of the job, each with a tube of one piece"));
        }

        if (!used.Contains(receiver))
        {
            faults.Add(new(place, pointer, $"\"{receiver}\", which the build does not use", string.Join(", ", used), Nearest.Hint(receiver, used)));
        }

        return faults.End(faults.Count == 0 ? new ReceiverSwaps(build.Job.Problem, build.Build.Earpiece, receiver, drawer.Receivers) : null);
    }

    /// <summary>The build file of a swap.</summary>
    /// <param name="swap">The swap.</param>
    public static string Write(TimedSwap swap) =>
        BuildFile.Write(swap.Result.Build, swap.Result.Problem, new BuildEvaluation(swap.Result.Problem).Response(swap.Result.Build.Earpiece));

    /// <summary>A name for its file: place among the swaps and receiver.</summary>
    /// <param name="swap">The swap.</param>
    public static string FileName(TimedSwap swap) => string.Create(
        CultureInfo.InvariantCulture,
        $"{swap.Rank:00}-{string.Concat(swap.Result.Candidate.Receiver.Receiver.PartNumber.Select(letter => char.IsLetterOrDigit(letter) || letter is '-' or '_' or '.' ? letter : '-'))}.json");
}
