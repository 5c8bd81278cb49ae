using XoverOpt.Acoustics.Figures;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Pages;

/// <summary>Figures of a build that belong together.</summary>
/// <param name="Name">What they are about.</param>
/// <param name="Lines">The figures.</param>
internal sealed record FigureGroup(string Name, IReadOnlyList<FigureLine> Lines)
{
    /// <summary>All figures of a build.</summary>
    public static IEnumerable<FigureGroup> Of(BuildRow row, BuildInJob build)
    {
        Problem problem = build.Job.Problem;
        Limits limits = problem.Limits;
        FigureLine Line(string name, string figure, int decimals, string unit, string limit = "") => new(name, Numbers.Fixed(row[figure], decimals), unit, limit);
        string AtMost(double value, string unit) => $"at most {Numbers.Part(value)} {unit}";
        string phase = problem.Phase.Kind == PhaseKind.Excess ? "excess phase" : "phase without delay";
        yield return new(
            "Response",
            [
                Line("magnitude error, RMS", "magnitudeRmsDb", 2, "dB"),
                Line("magnitude error, largest", "magnitudeMaxDb", 2, "dB", AtMost(problem.Target.ToleranceDb, "dB")),
                Line(phase + ", RMS", "phaseRmsDeg", 1, "°"),
                Line(phase + ", largest", "phaseMaxDeg", 1, "°", AtMost(problem.Phase.LimitDeg, "°")),
                Line("summing loss where ways overlap", "summingLossDb", 2, "dB"),
                Line("arrivals apart", "arrivalSpreadUs", 1, "µs", AtMost(problem.Phase.ArrivalLimit * 1e6, "µs")),
                .. build.Build.Earpiece.Ways.Zip(row.ArrivalUs, (way, arrival) => new FigureLine($"arrival of {way.Name}", Numbers.Fixed(arrival, 1), "µs", "")),
            ]);
        yield return new(
            "Level and load",
            [
                Line("SPL at 100 mV, 500 Hz", "splAt100mV", 1, "dB", limits.MinSplAt100mV is { } spl ? $"at least {Numbers.Part(spl)} dB" : ""),
                Line("SPL at 100 mV, 1 kHz", "splAt100mV1kHz", 1, "dB"),
                Line("SPL at 1 mW, 500 Hz", "splAt1mW", 1, "dB"),
                Line("SPL at 1 mW, 1 kHz", "splAt1mW1kHz", 1, "dB"),
                .. Peaks(build),
                Line("impedance, least", "impedanceMinOhm", 1, "Ω", limits.MinImpedance is { } least ? $"at least {Numbers.Part(least)} Ω" : ""),
                Line("impedance at 1 kHz", "impedance1kHzOhm", 1, "Ω"),
                Line("change on a 10 Ω source", "sourceShiftDb", 2, "dB"),
            ]);
        var exposure = Exposure.Of(build.Build.Earpiece, problem.Ear, new(0.1, 0), SoundField.Diffuse);
        yield return new(
            "Exposure to programme noise at 100 mV",
            [
                new("level, diffuse-field referred", Numbers.Fixed(exposure.FieldDba, 1), "dBA", ""),
                new("listening time", ExposureText.Times(exposure.Time), "", "NIOSH 98-126, WHO-ITU H.870"),
            ]);
        yield return new(
            "Parts of one earpiece",
            [
                Line("price", "partsCost", 2, Currency(problem), limits.MaxPartsCost is { } most ? $"at most {Numbers.Fixed((double)most, 2)}" : ""),
                Line("receivers", "receivers", 0, "", limits.MaxReceivers is { } count ? Numbers.Invariant($"at most {count}") : ""),
                Line("parts in all", "parts", 0, ""),
                Line("room of the receivers", "bodyVolumeMm3", 0, "mm³", limits.ShellVolume is { } room ? $"at most {Numbers.Part(room * 1e9)} mm³" : ""),
            ]);
        CostBreakdown? cost = build.Build.Cost;
        yield return new(
            "Cost",
            [
                new("in all", Numbers.Fixed(row.Cost, 4), "", ""),
                new("with ideal values", Numbers.Fixed(build.Build.RelaxedCost, 4), "", ""),
                .. new (string Name, double? Part)[] { ("magnitude", cost?.Magnitude), ("phase", cost?.Phase), ("arrival", cost?.Arrival), ("summing", cost?.Summing), ("penalty", cost?.Penalty) }
                    .Select(part => new FigureLine("of it " + part.Name, Numbers.Fixed(part.Part, 4), "", "")),
            ]);
    }

    private static IEnumerable<FigureLine> Peaks(BuildInJob build)
    {
        Problem problem = build.Job.Problem;
        foreach (double hz in problem.Limits.MinPeakSpl.Select(peak => peak.Hz).Concat([50, 1000]).Distinct().Order())
        {
            var room = Headroom.At(build.Build.Earpiece, problem.Ear, hz);
            if (room.Way >= 0)
            {
                string asked = problem.Limits.MinPeakSpl.FirstOrDefault(peak => peak.Hz == hz) is { } peak ? $"at least {Numbers.Part(peak.Db)} dB; " : "";
                yield return new(
                    $"loudest at {PageText.Hz(hz)}",
                    Numbers.Fixed(room.Spl, 1),
                    "dB",
                    $"{asked}{build.Build.Earpiece.Ways[room.Way].Name} meets its {(room.ByTravel ? "armature travel" : "coil current")} at {Numbers.Fixed(room.SocketVoltage * 1e3, 0)} mV");
            }
        }
    }

    private static string Currency(Problem problem) =>
        problem.Ways.SelectMany(way => way.Receivers).Select(receiver => receiver.Supply?.Currency).FirstOrDefault(name => name is not null) ?? "";
}

/// <summary>A figure of a build.</summary>
/// <param name="Name">What it is.</param>
/// <param name="Value">Its value.</param>
/// <param name="Unit">Its unit; empty for none.</param>
/// <param name="Remark">The limit it is held against, or what else is to be said.</param>
internal sealed record FigureLine(string Name, string Value, string Unit, string Remark);
