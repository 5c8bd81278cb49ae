using XoverOpt.Search;
using XoverOpt.Worker.Commands;

namespace XoverOpt.Worker.Text;

/// <summary>Builds in other ears.</summary>
internal static class EarText
{
    private static readonly ChangeRows _rows = new(29, [31.25, 125, 500, 1000, 2000, 4000, 8000]);

    /// <summary>What the numbers rest on.</summary>
    public static IReadOnlyList<string> Notes { get; } =
    [
        "Changes in dB, with the level in at the frequencies named; level: mean over the level band; RMS and max: what is left after it, over the target band up to 10 kHz, as far as the "
        + "simulator stands for an ear. Movement: RMS of that over the ears, weighted.",
        "The ears are choices to compare builds by (common practice, no source). Deep and shallow move the tip along the canal; small and large scale the whole ear, drum "
        + "and all; a leak is a round hole 10 mm long; the element sets are three models of one average ear and have no weight. About four canals in five widen when the "
        + "mouth opens and one in five narrows (common practice, no source): the bore between tip and first side branch by 8 %, and one that widens adds 20 mm³ beside the tip and a "
        + "leak of 0.3 mm.",
    ];

    /// <summary>Their lines, and which build moves least.</summary>
    public static IEnumerable<string> Lines(IReadOnlyList<AnalysedBuild<EarSpread>> builds)
    {
        foreach (string line in builds.SelectMany(Lines))
        {
            yield return line;
        }

        if (builds.Count > 1)
        {
            yield return "Movement, least first:";
            foreach (AnalysedBuild<EarSpread> build in builds.OrderBy(build => build.Result.MovementDb))
            {
                yield return $"  {Numbers.Fixed(build.Result.MovementDb, 2)} dB  {build.Name}, most in: {build.Result.WorstCase}";
            }

            yield return "";
        }
    }

    private static IEnumerable<string> Lines(AnalysedBuild<EarSpread> build)
    {
        EarSpread spread = build.Result;
        yield return build.Heading;
        yield return $"  moves by {Numbers.Fixed(spread.MovementDb, 2)} dB RMS in other ears, most in: {spread.WorstCase}"
            + $" (deep seal: {Numbers.Part(spread.DeepSeal * 1e3)} mm deeper)";
        yield return _rows.Heading;
        foreach (EarCase one in spread.Cases)
        {
            yield return _rows.Change("  " + one.Name, one.Change, spread.Hz, one.ChangeDb);
        }

        yield return _rows.Values("  highest of the weighted", spread.Hz, spread.HighestDb);
        yield return _rows.Values("  lowest", spread.Hz, spread.LowestDb);
        yield return "  while singing, against the closed mouth:";
        foreach (JawMovement jaw in spread.Jaw)
        {
            yield return _rows.Change($"  {jaw.Seal}, widens", jaw.Widens.Change, spread.Hz, jaw.Widens.ChangeDb);
            yield return _rows.Change($"  {jaw.Seal}, narrows", jaw.Narrows.Change, spread.Hz, jaw.Narrows.ChangeDb);
        }

        yield return $"    RMS over singers, with level: {string.Join(", ", spread.Jaw.Select(jaw => $"{jaw.Seal} {Numbers.Fixed(jaw.MovementDb, 2)} dB"))}";
        EarPair pair = spread.Pair;
        yield return $"  left ear of {Numbers.Fixed(100 * pair.LeftRatio, 0)} % less right ear of {Numbers.Fixed(100 * pair.RightRatio, 0)} %, "
            + $"phase at most {ChangeRows.Signed(pair.MaxPhaseDeg, 1)}° up to 1.5 kHz:";
        yield return _rows.Change("  level", pair.Difference, spread.Hz, pair.LevelDb);
        yield return _rows.Values("  phase °", spread.Hz, pair.PhaseDeg);
        yield return "";
    }
}
