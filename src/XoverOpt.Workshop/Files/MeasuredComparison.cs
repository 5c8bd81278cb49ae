using System.Globalization;
using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Several curves, measured ones and builds, side by side on one grid: as CSV for a chart, and as JSON with their figures.</summary>
public static class MeasuredComparison
{
    /// <summary>The format it bears.</summary>
    public const string Format = "curves/1";

    /// <summary>One grid, a line a frequency where any curve has a value; a cell is empty where a curve was not measured.</summary>
    public static string Csv(IReadOnlyList<MeasuredFigures> curves)
    {
        StringBuilder text = new("hz");
        foreach (MeasuredFigures curve in curves)
        {
            string name = curve.Name.Replace('"', '\'').ReplaceLineEndings(" ");
            foreach (string column in new[] { "level_db", "error_db", "minimum_phase_deg", "excess_phase_deg", "impedance_ohm" })
            {
                text.Append(CultureInfo.InvariantCulture, $",\"{name} {column}\"");
            }
        }

        text.Append('\n');
        double[] hz = curves[0].OnGrid.Hz;
        for (int k = 0; k < hz.Length; k++)
        {
            double[] cells = [.. curves.SelectMany(curve => Columns(curve).Select(column => column[k]))];
            if (cells.Any(double.IsFinite))
            {
                text.Append(hz[k].ToString("G6", CultureInfo.InvariantCulture)).Append(',')
                    .AppendJoin(',', cells.Select(cell => double.IsFinite(cell) ? cell.ToString("F3", CultureInfo.InvariantCulture) : "")).Append('\n');
            }
        }

        return text.ToString();
    }

    /// <summary>The same with the figures, and what cannot be told.</summary>
    /// <param name="curves">The curves.</param>
    /// <param name="remarks">What was remarked when each was read.</param>
    public static string Json(IReadOnlyList<MeasuredFigures> curves, IReadOnlyList<IReadOnlyList<string>> remarks) => BuildFileJson.Text(json =>
    {
        json.WriteString("format", Format);
        json.WriteString("programVersion", BuildFile.ProgramVersion);
        json.WriteString("caution", BuildFile.Caution);
        double[] hz = curves[0].OnGrid.Hz;
        int[] kept = [.. Enumerable.Range(0, hz.Length).Where(k => curves.Any(curve => Columns(curve).Any(column => double.IsFinite(column[k]))))];
        json.WriteRow("hz", kept.Select(k => hz[k]));
        json.WriteStartArray("curves");
        foreach ((MeasuredFigures curve, IReadOnlyList<string> said) in curves.Zip(remarks))
        {
            json.WriteStartObject();
            json.WriteString("name", curve.Name);
            json.WriteStartObject("figures");
            json.WriteRow("measuredHz", [curve.MeasuredHz.Low, curve.MeasuredHz.High]);
            Band("magnitudeHz", curve.MagnitudeHz);
            json.WriteFinite("magnitudeRmsDb", curve.MagnitudeRmsDb);
            json.WriteFinite("magnitudeMaxDb", curve.MagnitudeMaxDb);
            Band("phaseHz", curve.PhaseHz);
            json.WriteFinite("phaseRmsDeg", curve.PhaseRmsDeg);
            json.WriteFinite("phaseMaxDeg", curve.PhaseMaxDeg);
            json.WriteFinite("phaseDoubtDeg", curve.PhaseDoubtDeg);
            json.WriteFinite("delayUs", curve.DelayUs);
            json.WriteFinite("spl500HzDb", curve.SplDb.At500);
            json.WriteFinite("spl1kHzDb", curve.SplDb.At1000);
            json.WriteFinite("impedanceMinOhm", curve.ImpedanceMinOhm);
            json.WriteFinite("impedance1kHzOhm", curve.Impedance1kHzOhm);
            json.WriteEndObject();
            json.WriteStartArray("notches");
            foreach (MeasuredNotch notch in curve.Notches)
            {
                json.WriteLine(line =>
                {
                    line.WriteNumber("hz", notch.Hz);
                    line.WriteNumber("depthDb", notch.DepthDb);
                    line.WriteFinite("excessStepDeg", notch.ExcessStepDeg);
                    if (notch.Cancels is { } cancels)
                    {
                        line.WriteBoolean("cancels", cancels);
                    }
                });
            }

            json.WriteEndArray();
            Texts("unknown", curve.Unknown);
            Texts("remarks", said);
            foreach ((string name, double[] values) in Names.Zip(Columns(curve)))
            {
                json.WriteRow(name, kept.Select(k => Math.Round(values[k], 4)));
            }

            json.WriteEndObject();
        }

        json.WriteEndArray();

        void Band(string name, (double Low, double High)? band)
        {
            if (band is { } at)
            {
                json.WriteRow(name, [at.Low, at.High]);
            }
        }

        void Texts(string name, IReadOnlyList<string> texts)
        {
            json.WriteStartArray(name);
            foreach (string text in texts)
            {
                json.WriteStringValue(text);
            }

            json.WriteEndArray();
        }
    });

    private static readonly string[] Names = ["levelDb", "errorDb", "minimumPhaseDeg", "excessPhaseDeg", "impedanceOhm"];

    private static double[][] Columns(MeasuredFigures curve) =>
        [curve.OnGrid.LevelDb, curve.OnGrid.ErrorDb, curve.OnGrid.MinimumDeg, curve.OnGrid.ExcessDeg, curve.OnGrid.ImpedanceOhm];
}
