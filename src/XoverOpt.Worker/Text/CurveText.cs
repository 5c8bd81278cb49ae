using XoverOpt.Search;

namespace XoverOpt.Worker.Text;

/// <summary>Measured curves and builds side by side as people read them.</summary>
internal static class CurveText
{
    private const int NameWidth = 20;

    /// <summary>Their lines: a table of figures, then what was found in each curve and what cannot be told of it.</summary>
    public static IEnumerable<string> Lines(IReadOnlyList<MeasuredFigures> curves, IReadOnlyList<IReadOnlyList<string>> remarks)
    {
        yield return $"{"curve",-NameWidth}{"measured, Hz",15}{"SPL 1k",8}{"mag RMS",9}{"max dB",8}{"phase RMS",11}{"max °",8}{"doubt °",9}{"delay µs",10}{"cancels",9}";
        foreach (MeasuredFigures one in curves)
        {
            string name = one.Name.Length < NameWidth ? one.Name : one.Name[..(NameWidth - 2)] + "…";
            string band = $"{Numbers.Fixed(one.MeasuredHz.Low, 0)}–{Numbers.Fixed(one.MeasuredHz.High, 0)}";
            string cancels = one.PhaseHz is null ? "–" : Numbers.Fixed(one.Notches.Count(notch => notch.Cancels == true), 0);
            yield return $"{name,-NameWidth}{band,15}{Numbers.Fixed(one.SplDb.At1000, 1),8}{Numbers.Fixed(one.MagnitudeRmsDb, 2),9}{Numbers.Fixed(one.MagnitudeMaxDb, 2),8}"
                + $"{Numbers.Fixed(one.PhaseRmsDeg, 1),11}{Numbers.Fixed(one.PhaseMaxDeg, 1),8}{Numbers.Fixed(one.PhaseDoubtDeg, 1),9}{Numbers.Fixed(one.DelayUs, 1),10}{cancels,9}";
        }

        foreach ((MeasuredFigures one, IReadOnlyList<string> said) in curves.Zip(remarks))
        {
            string[] notes = [.. said, .. one.Notches.Select(Words), .. one.Unknown.Select(what => "not known: " + what)];
            if (notes.Length == 0)
            {
                continue;
            }

            yield return "";
            yield return one.Name;
            foreach (string note in notes)
            {
                foreach ((string line, int at) in Report.Wrap(note, Report.Width - 4).Select((line, at) => (line, at)))
                {
                    yield return (at == 0 ? "  - " : "    ") + line;
                }
            }
        }
    }

    private static string Words(MeasuredNotch notch)
    {
        string dip = $"dip of {Numbers.Fixed(notch.DepthDb, 1)} dB at {Numbers.Fixed(notch.Hz, 0)} Hz";
        return notch.Cancels switch
        {
            null => dip + ": whether sounds cancel there cannot be told without a phase",
            true => $"{dip} with {Numbers.Fixed(Math.Abs(notch.ExcessStepDeg!.Value), 0)}° of excess phase across it: sounds cancel there, the later one the stronger; no filter fills it",
            false => dip + " of minimum phase: a resonance, or a later sound that is the weaker; one curve cannot tell which",
        };
    }
}
