using System.Globalization;
using XoverOpt.Search;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Text;

/// <summary>A fit as people read it.</summary>
internal static class FitText
{
    /// <summary>Its lines.</summary>
    public static IEnumerable<string> Lines(FitDocument document, ReceiverFitResult result)
    {
        yield return $"{document.Problem.PartNumber}: misfit {Numbers.Fixed(Math.Sqrt(result.ReducedChiSquare), 2)} times the stated noise; "
            + $"{result.Agreeing} of {result.Followed} descents ended here";
        yield return "";
        yield return $"  {"value",-20}{"",20} {"± (1 σ)",10}  standing";
        foreach (FittedValue value in result.Values)
        {
            double shown = value.Value / value.Parameter.Scale, factor = Math.Exp(value.RelativeError);
            string number = value.Standing switch
            {
                FitStanding.Undetermined or FitStanding.AtBound => "–",

                // A range, not a number: one would be taken for it.
                FitStanding.Loose => $"{Short(shown / factor)} to {Short(shown * factor)} {value.Parameter.Unit}",
                _ => $"{Numbers.Part(shown)} {value.Parameter.Unit}",
            };
            string error = value.Standing is FitStanding.Determined or FitStanding.Loose ? Numbers.Fixed(100 * value.RelativeError, 1) + " %" : "";
            yield return $"  {value.Parameter.Name,-20}{number,20} {error,10}  {FitResultFile.Word(value.Standing)}";
        }

        yield return "";
        yield return "  What leads and microphone see of the motor, whatever its area:";
        foreach (FitCombination combination in result.Combinations)
        {
            yield return double.IsFinite(combination.RelativeError)
                ? $"  {combination.Name,-42}{combination.Value.ToString("G4", CultureInfo.InvariantCulture),12} {combination.Unit,-10} ± {Numbers.Fixed(100 * combination.RelativeError, 1)} %"
                : $"  {combination.Name,-42}{"–",12} {combination.Unit,-10} not determined";
        }

        yield return "";
        yield return $"  {"curve",-18}{"",-24}{"RMS",9}{"noise",9}{"worst",9}{"at Hz",9}";
        foreach (FitQuality quality in result.Quality)
        {
            yield return $"  {quality.Curve,-18}{quality.What,-24}{Amount(quality.Rms, quality),9}{Amount(quality.Expected, quality),9}{Amount(quality.Worst, quality),9}{Numbers.Fixed(quality.WorstHz, 0),9}";
        }

        foreach (string line in Listed("The measurements cannot tell apart:", result.Ambiguities).Concat(Listed("Take care:", result.Warnings)))
        {
            yield return line;
        }

        if (!result.IsWhole)
        {
            yield return "";
            foreach (string line in Report.Wrap(
                "No receiver file: what is not determined above must be pinned. Give under \"known\" what was measured otherwise, such as diaphragmMm2 and "
                + "rearVolumeMm3, or under \"assumed\" a likely value: outside the receiver any choice of these does the same.", Report.Width))
            {
                yield return line;
            }
        }
    }

    private static IEnumerable<string> Listed(string heading, IReadOnlyList<string> items)
    {
        if (items.Count == 0)
        {
            yield break;
        }

        yield return "";
        yield return "  " + heading;
        foreach (string item in items)
        {
            foreach ((string line, int at) in Report.Wrap(item, Report.Width - 4).Select((line, at) => (line, at)))
            {
                yield return (at == 0 ? "  - " : "    ") + line;
            }
        }
    }

    private static string Short(double value) => Numbers.Part(double.Parse(value.ToString("G2", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture));

    private static string Amount(double value, FitQuality quality) => Numbers.Fixed(value, 2) + (quality.Unit == "dB" ? " dB" : "°");
}
