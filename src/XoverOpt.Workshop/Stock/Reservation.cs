using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Stock;

/// <summary>Parts set aside for a build.</summary>
/// <param name="Id">Its name in the book, such as "r12".</param>
/// <param name="Build">The build, as <see cref="MarkOf"/> names it.</param>
/// <param name="Label">The build in words, such as "build 2 of Drum-riser stage monitor".</param>
/// <param name="Sets">For so many sets.</param>
/// <param name="Who">Who asked for it.</param>
/// <param name="When">When.</param>
/// <param name="Lines">What is set aside.</param>
public sealed record Reservation(string Id, string Build, string Label, int Sets, string Who, DateTimeOffset When, IReadOnlyList<ReservedPart> Lines)
{
    /// <summary>A short name of a build that is the same wherever it was found: 16 hexadecimal digits of the hash of its key.</summary>
    public static string MarkOf(Earpiece earpiece) => CanonicalJson.Hash(BuildKey.Of(earpiece))[..16];

    /// <summary>What several set aside together, by part.</summary>
    public static IReadOnlyDictionary<string, decimal> Sum(IEnumerable<Reservation> reservations) => reservations
        .SelectMany(reservation => reservation.Lines)
        .GroupBy(line => line.Part)
        .ToDictionary(part => part.Key, part => part.Sum(line => line.Quantity));
}

/// <summary>A part that is set aside.</summary>
/// <param name="Part">The part, by <see cref="Purchasing.PartName"/>.</param>
/// <param name="Quantity">Pieces, metres for tubing; above 0.</param>
public sealed record ReservedPart(string Part, decimal Quantity);
