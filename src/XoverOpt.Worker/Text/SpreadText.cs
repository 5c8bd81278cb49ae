using XoverOpt.Search;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Text;

/// <summary>Part-spread studies as people read them.</summary>
internal static class SpreadText
{
    private const int PartsShown = 10;

    // Thirds of an octave lie four of the twelve points an octave apart; every second third is enough to read.
    private const int PointsBetween = 8;

    /// <summary>Its lines.</summary>
    /// <param name="results">One study a build.</param>
    /// <param name="names">What each is called.</param>
    /// <param name="problem">The job.</param>
    public static IEnumerable<string> Lines(IReadOnlyList<SpreadResult> results, IReadOnlyList<string> names, Problem problem)
    {
        SpreadSettings settings = results[0].Settings;
        yield return Numbers.Invariant($"{problem.Name}: {settings.Samples} built units ({settings.Samples / 2} sets) of each build, seed {settings.Seed}");
        yield return $"receivers {SpreadFile.Word(settings.Receivers)}, tolerances {SpreadFile.Word(settings.Tolerances)}, tubes cut to ±"
            + $"{Numbers.Part((settings.CutError ?? (problem.TubeStep / 2)) * 1e3)} mm ({SpreadFile.Word(settings.Cuts)}); ± gives one standard error";
        for (int i = 0; i < results.Count; i++)
        {
            foreach (string line in Build(results[i], names[i], problem).Prepend(""))
            {
                yield return line;
            }
        }

        if (results.Count > 1)
        {
            yield return "";
            yield return "Side by side, on the same draws";
            yield return $"  {"yield",14}{"over the first",18}{"cost drawn",12}{"expected",16}{"sets in voice band",20}  build";
            for (int i = 0; i < results.Count; i++)
            {
                SpreadResult result = results[i];
                yield return $"  {Percent(result.Yield),14}{(i == 0 ? "" : Percent(result.YieldOver(results[0]), "+0.0;-0.0;0.0")),18}{Numbers.Fixed(result.NominalCost, 3),12}"
                    + $"{Pair(result.Cost, 3),16}{Percent(result.SideVoiceYield),20}  {names[i]}";
            }
        }

        yield return "";
        foreach (string line in Report.Wrap(BuildFile.Caution, Report.Width).Concat(Report.Wrap(Report.Model, Report.Width)))
        {
            yield return line;
        }
    }

    private static IEnumerable<string> Build(SpreadResult result, string name, Problem problem)
    {
        SpreadSettings settings = result.Settings;
        yield return name;
        yield return Item("keep every limit", Percent(result.Yield));
        foreach ((string limit, SpreadEstimate yield) in result.Limits)
        {
            yield return Item("", $"{Percent(yield),14}  {limit}");
        }

        yield return Item("cost", $"{Numbers.Fixed(result.NominalCost, 3)} as drawn, {Pair(result.Cost, 3)} on average of units, penalties for broken limits included");
        yield return Item("magnitude error", $"{Pair(result.MagnitudeRmsDb, 2)} dB RMS on average; at most {Pair(result.MagnitudeMaxDb.Median, 2)} dB (median), {Pair(result.MagnitudeMaxDb.High, 2)} dB (95 %)");
        yield return Item("SPL at 100 mV", $"{Pair(result.SplAt100mV, 2)} dB on average, standard deviation {Pair(result.SplDeviationDb, 2)} dB (500 Hz)");
        string limitDb = Numbers.Part(settings.SideLimitDb);
        yield return Item("left and right", $"drawn at random, not matched; within {limitDb} dB of one another");
        yield return Item("", $"{Percent(result.SideBalanceYield),14}  in mean level, {Numbers.Part(problem.Target.LevelLowHz)} to {Numbers.Part(problem.Target.LevelHighHz)} Hz");
        yield return Item("", $"{Percent(result.SideVoiceYield),14}  everywhere from 200 Hz to 4 kHz, where a voice is placed");
        yield return Item("", $"{Percent(result.SideYield),14}  everywhere in the target band");
        yield return Item("blurs a voice", $"level apart {Pair(result.SideVoiceDb.Median, 2)} dB (median), {Pair(result.SideVoiceDb.High, 2)} dB (95 %), at worst from 200 Hz to 4 kHz");
        yield return Item("", $"phase apart {Pair(result.SideVoiceDeg.Median, 1)}° (median), {Pair(result.SideVoiceDeg.High, 1)}° (95 %)");
        yield return Item("what drives it", $"shares of the variance of the response's shape, {Numbers.Fixed(result.ShapeDeviationDb, 2)} dB in standard deviation");
        foreach (VarianceShare share in result.Shares.Take(PartsShown))
        {
            yield return Item("", $"{Percent(share.Share),14}  {share.Role}");
        }

        if (result.Shares.Count > PartsShown)
        {
            yield return Item("", $"{Numbers.Fixed(100 * result.Shares.Skip(PartsShown).Sum(share => share.Share.Value), 1) + " %",14}  {result.Shares.Count - PartsShown} more");
        }

        yield return Item("", $"{Percent(new(1 - result.ShareSum.Value, result.ShareSum.StandardError)),14}  left over: what parts do together or in a curve");
        foreach (string part in result.Assumed)
        {
            yield return Item("assumed", part);
        }

        yield return "";
        yield return $"  {"Hz",8}{"dB drawn",10}{"low",8}{"median",8}{"high",8}{"st.dev.",9}{"Ω drawn",9}{"low",8}{"high",8}   left–right dB 50 % 95 %    ° 50 % 95 %";
        for (int k = 0; k < result.Points.Count; k++)
        {
            SpreadPoint at = result.Points[k];
            if (Math.Abs(Math.IEEERemainder(Math.Log2(at.Hz / 1000) * 12, PointsBetween)) < 1e-6)
            {
                yield return $"  {Numbers.Part(at.Hz),8}{Numbers.Fixed(at.NominalDb, 2),10}{Numbers.Fixed(at.LowDb.Value, 2),8}{Numbers.Fixed(at.MedianDb.Value, 2),8}{Numbers.Fixed(at.HighDb.Value, 2),8}"
                    + $"{Numbers.Fixed(at.DeviationDb.Value, 2),9}{Numbers.Fixed(at.NominalOhm, 1),9}{Numbers.Fixed(at.LowOhm.Value, 1),8}{Numbers.Fixed(at.HighOhm.Value, 1),8}"
                    + $"{Numbers.Fixed(at.SideMedianDb.Value, 2),20}{Numbers.Fixed(at.SideHighDb.Value, 2),6}{Numbers.Fixed(at.SideMedianDeg.Value, 1),11}{Numbers.Fixed(at.SideHighDeg.Value, 1),6}";
            }
        }

        yield return Numbers.Invariant($"  low and high: {100 * settings.Coverage:0.##} % of units lie between them at each frequency, {100 * result.Inside(0, null).Value:0.0} % at every one at once");
    }

    private static string Percent(SpreadEstimate share, string form = "0.0") => string.Create(
        System.Globalization.CultureInfo.InvariantCulture, $"{(100 * share.Value).ToString(form, System.Globalization.CultureInfo.InvariantCulture)} ± {100 * share.StandardError:0.0} %");

    private static string Pair(SpreadEstimate value, int decimals) => $"{Numbers.Fixed(value.Value, decimals)} ± {Numbers.Fixed(value.StandardError, decimals)}";

    private static string Item(string name, string text) => $"  {name,-18} {text}";
}
