using XoverOpt.Search;
using XoverOpt.Worker.Commands;

namespace XoverOpt.Worker.Text;

/// <summary>Builds on other sources.</summary>
internal static class SourceText
{
    private static readonly ChangeRows _rows = new(10, [31.25, 62.5, 125, 250, 500, 1000, 2000, 4000, 8000, 16000]);

    /// <summary>What the numbers rest on.</summary>
    public static IReadOnlyList<string> Notes { get; } =
    [
        "Changes in dB against the job's own source at the same open-circuit voltage, with the level in at the frequencies named; level: mean over the level band; RMS and max: what is left "
        + "after it, over the target band. 120 Ω is the output resistance of IEC 61938; the other sources are common practice, no source.",
    ];

    /// <summary>Their lines.</summary>
    public static IEnumerable<string> Lines(IReadOnlyList<AnalysedBuild<SourceSpread>> builds) => builds.SelectMany(Lines);

    private static IEnumerable<string> Lines(AnalysedBuild<SourceSpread> build)
    {
        SourceSpread spread = build.Result;
        yield return build.Heading;
        yield return $"  lowest load {Numbers.Fixed(spread.LowestLoadOhm, 1)} Ω at {ChangeRows.Hertz(spread.LowestLoadHz)}; the job's source has {Numbers.Part(spread.OwnOhm)} Ω";
        yield return _rows.Heading;
        foreach (SourceChange change in spread.Changes)
        {
            yield return _rows.Change($"{Numbers.Part(change.Ohm),6} Ω", change.Change, spread.Hz, change.ChangeDb);
        }

        yield return _rows.Values("   |Z| Ω", spread.Hz, spread.ImpedanceOhm);
        yield return _rows.Values("   arg Z °", spread.Hz, spread.ImpedanceDeg);
        yield return $"  To keep within {Numbers.Part(spread.WithinDb)} dB of the design, with a load of {Numbers.Fixed(spread.LeastLoadOhm, 1)} Ω or more, on every source up to";
        foreach (string line in spread.Pads.Select(pad => Line(pad)).SelectMany(line => Report.Wrap(line, Report.Width)))
        {
            yield return line;
        }

        yield return "";
    }

    private static string Line(SourcePad pad) => $"    {Numbers.Part(pad.UpToOhm)} Ω: " + (pad.SeriesOhm is null && pad.ParallelOhm is null && pad.Holds
            ? $"nothing is needed ({Numbers.Fixed(pad.BareMaxDb, 2)} dB)"
            : $"{Parts(pad)}; {Numbers.Fixed(pad.BareMaxDb, 2)} dB becomes {Numbers.Fixed(pad.MaxDb, 2)} dB{(pad.Holds ? "" : ", the least there is")}, "
                + $"level {ChangeRows.Signed(pad.LevelDb, 1)} dB, lowest load {Numbers.Fixed(pad.LowestLoadOhm, 1)} Ω");

    private static string Parts(SourcePad pad) => (pad.SeriesOhm, pad.ParallelOhm) switch
    {
        ({ } series, { } parallel) => $"{Numbers.Part(series)} Ω in line, {Numbers.Part(parallel)} Ω across",
        ({ } series, null) => $"{Numbers.Part(series)} Ω in line",
        (null, { } parallel) => $"{Numbers.Part(parallel)} Ω across",
        _ => "no resistors help",
    };
}
