using System.Diagnostics;
using System.Globalization;
using System.Text;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests.Inspection;

public sealed class UnitInspectionTests
{
    // A few of each; all of them (25 of each fault, 200 in order) where the environment asks for it, of another build (DemoBuild) and of one row only
    // (XOVEROPT_INSPECT_ROW, from 1) if it asks for that.
    private static readonly int Each = int.Parse(Environment.GetEnvironmentVariable("XOVEROPT_INSPECT_EACH") ?? "2", CultureInfo.InvariantCulture);

    private static readonly string? Row = Environment.GetEnvironmentVariable("XOVEROPT_INSPECT_ROW");

    /// <summary>What was measured, and the least that must be named rightly.</summary>
    [Theory]
    [InlineData(1, "level, impedance", false, 0.9)]
    [InlineData(2, "level, phase, impedance", false, 0.9)]
    [InlineData(3, "level", false, 0.9)]
    [InlineData(4, "level, impedance", true, 0.75)]
    public void Inspect_SimulatedUnits_NamesTheTrueFaultFirst(int row, string data, bool unknown, double least)
    {
        Assert.SkipUnless(Row is null || Row == row.ToString(CultureInfo.InvariantCulture), "Another row was asked for.");
        (Earpiece build, Problem problem) = DemoBuild.ReadGiven();
        BenchNoise noise = new();
        var units = new SimulatedUnits(build, problem, 2026);
        (FaultKind Kind, int Index)[] asked =
        [
            .. SimulatedUnits.Faults.SelectMany(kind => Enumerable.Range(0, Each).Select(index => (kind, index))),
            .. Enumerable.Range(0, 8 * Each).Select(index => (FaultKind.NoneFound, index)),
        ];
        var found = new (FaultStory Truth, string Words, UnitReport Report)[asked.Length];
        var watch = Stopwatch.StartNew();
        Parallel.For(0, asked.Length, i =>
        {
            (FaultStory truth, string words, UnitMeasurement measured) = units.Unit(asked[i].Kind, asked[i].Index, noise, unknown);
            measured = measured with
            {
                PhaseDeg = data.Contains("phase", StringComparison.Ordinal) ? measured.PhaseDeg : null,
                ImpedanceOhm = data.Contains("impedance", StringComparison.Ordinal) ? measured.ImpedanceOhm : null,
                ImpedancePhaseDeg = data.Contains("impedance", StringComparison.Ordinal) ? measured.ImpedancePhaseDeg : null,
            };
            found[i] = (truth, words, UnitInspection.Inspect(build, problem, measured, noise));
        });

        double seconds = watch.Elapsed.TotalSeconds / asked.Length;
        (FaultStory Truth, string Words, UnitReport Report)[] faulty = [.. found.Where(item => item.Truth.Kind != FaultKind.NoneFound)];
        double named = faulty.Average(item => Right(item.Truth, item.Report.Verdicts[0]) ? 1.0 : 0);
        double good = found.Except(faulty).Average(item => item.Report.Verdicts[0].Kind == FaultKind.NoneFound ? 1.0 : 0);
        double passed = found.Except(faulty).Average(item => item.Report.Passes ? 1.0 : 0), refused = faulty.Average(item => item.Report.Passes ? 0 : 1.0);
        string table = Table(found);
        TestContext.Current.TestOutputHelper?.WriteLine(
            FormattableString.Invariant($"{data}{(unknown ? ", receivers off in ways unknown" : "")}: {100 * named:0.0} % of {faulty.Length} faults named first, none found on {100 * good:0.0} % of {found.Length - faulty.Length} good ones; the limits refuse {100 * refused:0.0} % of the former and {100 * (1 - passed):0.0} % of the latter; {seconds:0.00} s a unit\n{table}"));
        Assert.True(named >= least, table);
        // The limits aim at 99 %, taking the response as a straight line in the parts, at a twelfth of an octave. Measured: 14 of 16 at twice as many
        // frequencies, so less than aimed at.
        Assert.True(unknown || passed >= 0.8, FormattableString.Invariant($"{100 * passed:0.0} % of good ones pass"));
        // With receivers off in ways no story knows, less is asked: 95.5 % and 96.5 % were measured with 200 of each, a few of each scatter.
        Assert.True(good >= (unknown ? 0.75 : 0.95), table);
    }

    /// <summary>Kind and place must be those of the truth.</summary>
    private static bool Right(FaultStory truth, UnitVerdict verdict) => truth.Kind == verdict.Kind && truth.Place == verdict.Place;

    private static string Table((FaultStory Truth, string Words, UnitReport Report)[] found)
    {
        FaultKind[] kinds = [FaultKind.NoneFound, .. SimulatedUnits.Faults];
        StringBuilder text = new();
        text.AppendLine($"{"true \\ named",-18}{string.Concat(kinds.Select(kind => $"{kind.ToString()[..Math.Min(8, kind.ToString().Length)],9}"))}{"place",9}{"alike",7}{"unexpl.",9}");
        foreach (FaultKind truth in kinds)
        {
            var row = found.Where(item => item.Truth.Kind == truth).ToArray();
            text.Append(CultureInfo.InvariantCulture, $"{truth,-18}");
            foreach (FaultKind named in kinds)
            {
                int count = row.Count(item => item.Report.Verdicts[0].Kind == named);
                text.Append(CultureInfo.InvariantCulture, $"{(count == 0 ? "." : count),9}");
            }

            // Right kind, wrong place; named with another as good; left unexplained.
            text.Append(CultureInfo.InvariantCulture, $"{row.Count(item => item.Report.Verdicts[0].Kind == truth && item.Report.Verdicts[0].Place != item.Truth.Place),9}");
            text.Append(CultureInfo.InvariantCulture, $"{row.Count(item => item.Report.Alike.Count > 0),7}");
            text.AppendLine(CultureInfo.InvariantCulture, $"{row.Count(item => !item.Report.Explained),9}");
        }

        foreach ((FaultStory truth, string words, UnitReport report) in found.Where(item => !Right(item.Truth, item.Report.Verdicts[0])))
        {
            UnitVerdict first = report.Verdicts[0];
            UnitVerdict? itself = report.Verdicts.FirstOrDefault(verdict => Right(truth, verdict));
            text.AppendLine(CultureInfo.InvariantCulture, $"  missed: {words} → {first.Words} ({100 * first.Probability:0.0} %; truth {100 * (itself?.Probability ?? 0):0.0} %, misfit {first.MisfitPerRow:0.00} against {itself?.MisfitPerRow ?? double.NaN:0.00})");
        }

        return text.ToString();
    }
}
