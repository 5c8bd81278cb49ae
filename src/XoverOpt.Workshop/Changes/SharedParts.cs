using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Changes;

/// <summary>What two builds have in common, so that a family of products can share its stock.</summary>
/// <param name="With">The build it is shared with, in words.</param>
/// <param name="Ways">Ways that are the same part for part.</param>
/// <param name="OtherWays">Ways that are not, or are in one of them only.</param>
/// <param name="Pieces">Pieces of one earpiece of the later build that the other needs as well; tubing counts where the bore is the same.</param>
/// <param name="OfPieces">Pieces of one earpiece of the later build.</param>
public sealed record SharedParts(string With, IReadOnlyList<string> Ways, IReadOnlyList<string> OtherWays, int Pieces, int OfPieces)
{
    /// <summary>Compares two builds.</summary>
    public static SharedParts Between(string with, Earpiece old, Problem then, Earpiece now, Problem today)
    {
        string[] same = [.. now.Ways.Where(way => old.Ways.Any(other => other.Name == way.Name && BuildKey.Of(new([other])) == BuildKey.Of(new([way])))).Select(way => way.Name)];
        string[] other = [.. now.Ways.Concat(old.Ways).Select(way => way.Name).Distinct().Except(same)];
        Dictionary<string, int> has = PiecesOf(old, then), needs = PiecesOf(now, today);
        return new(with, same, other, needs.Sum(part => Math.Min(part.Value, has.GetValueOrDefault(part.Key))), needs.Values.Sum());
    }

    private static Dictionary<string, int> PiecesOf(Earpiece build, Problem problem) => PartsBill.Of(build, problem).Lines
        .GroupBy(line => $"{line.Kind} {Purchasing.PartName.Of(line.Kind, line.PartNumber, line.Value)}")
        .ToDictionary(part => part.Key, part => part.Sum(line => line.Pieces));
}
