using System.Text.Json;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>What came of a fit as JSON, and as a receiver/1 file. A value that is not determined is null, never a number.</summary>
public static class FitResultFile
{
    /// <summary>The format it bears.</summary>
    public const string Format = "fit/1";

    private const int Digits = 4;

    /// <summary>The words of <see cref="FitStanding"/>.</summary>
    public static string Word(FitStanding standing) => standing switch
    {
        FitStanding.Known => "known",
        FitStanding.Assumed => "assumed",
        FitStanding.Determined => "determined",
        FitStanding.Loose => "loose",
        FitStanding.Undetermined => "not determined",
        _ => "no influence",
    };

    /// <summary>The whole result.</summary>
    public static string Write(FitDocument document, ReceiverFitResult result) => BuildFileJson.Text(json =>
    {
        json.WriteString("format", Format);
        json.WriteString("partNumber", document.Problem.PartNumber);
        json.WriteString("programVersion", BuildFile.ProgramVersion);
        json.WriteBoolean("whole", result.IsWhole);
        json.WriteFinite("reducedChiSquare", result.ReducedChiSquare);
        json.WriteNumber("descentsFollowed", result.Followed);
        json.WriteNumber("descentsAgreeing", result.Agreeing);
        json.WriteStartArray("values");
        foreach (FittedValue value in result.Values)
        {
            json.WriteLine(line =>
            {
                line.WriteString("name", value.Parameter.Name);
                line.WriteString("standing", Word(value.Standing));
                line.WriteFinite("value", Shown(value) ? Rounded(value) : null);
                line.WriteFinite("errorPercent", double.IsFinite(value.RelativeError) ? Round(100 * value.RelativeError) : null);
            });
        }

        json.WriteEndArray();
        json.WriteStartArray("combinations");
        foreach (FitCombination combination in result.Combinations)
        {
            json.WriteLine(line =>
            {
                bool told = double.IsFinite(combination.RelativeError);
                line.WriteString("name", combination.Name);
                line.WriteString("unit", combination.Unit);
                line.WriteFinite("value", told ? Round(combination.Value) : null);
                line.WriteFinite("errorPercent", told ? Round(100 * combination.RelativeError) : null);
            });
        }

        json.WriteEndArray();
        json.WriteStartArray("quality");
        foreach (FitQuality quality in result.Quality)
        {
            json.WriteLine(line =>
            {
                line.WriteString("curve", quality.Curve);
                line.WriteString("what", quality.What);
                line.WriteString("unit", quality.Unit);
                line.WriteFinite("rms", Round(quality.Rms));
                line.WriteFinite("worst", Round(quality.Worst));
                line.WriteFinite("worstHz", Round(quality.WorstHz));
                line.WriteFinite("noise", Round(quality.Expected));
            });
        }

        json.WriteEndArray();
        WriteTexts(json, "ambiguities", result.Ambiguities);
        WriteTexts(json, "warnings", result.Warnings);
        if (result.IsWhole)
        {
            json.WritePropertyName("receiver");
            json.WriteRawValue(Receiver(document, result));
        }
    });

    /// <summary>The receiver/1 file.</summary>
    /// <exception cref="InvalidOperationException">The fit left a value undetermined that a receiver needs.</exception>
    public static string Receiver(FitDocument document, ReceiverFitResult result)
    {
        if (!result.IsWhole)
        {
            throw new InvalidOperationException("A value of the receiver is not determined.");
        }

        FittedValue[] values = [.. result.Values];
        return BuildFileJson.Text(json =>
        {
            json.WriteString("format", "receiver/1");
            json.WriteString("partNumber", document.Problem.PartNumber);
            json.WriteText("maker", document.Maker);
            json.WriteString("description", Description(document, values));
            WriteTexts(json, "tags", document.Tags);
            Group(json, "electrical", ReceiverParameter.DcResistance, ReceiverParameter.Inductance, ReceiverParameter.SemiInductance);
            Group(json, "motor", ReceiverParameter.ForceFactor);
            Group(json, "mechanical", ReceiverParameter.Mass, ReceiverParameter.Compliance, ReceiverParameter.Resistance);
            Group(
                json, "acoustical", ReceiverParameter.DiaphragmArea, ReceiverParameter.RearVolume, ReceiverParameter.FrontVolume,
                ReceiverParameter.SpoutLength, ReceiverParameter.SpoutBore);
        });

        void Group(Utf8JsonWriter json, string name, params int[] parameters)
        {
            json.WritePropertyName(name);
            json.WriteLine(line =>
            {
                foreach (int p in parameters.Where(p => ReceiverParameter.All[p].Of(result.Receiver) is not null))
                {
                    line.WriteNumber(ReceiverParameter.All[p].Name, Rounded(values[p]));
                }
            });
        }
    }

    private static string Description(FitDocument document, FittedValue[] values)
    {
        string Names(FitStanding standing) => string.Join(", ", values.Where(value => value.Standing == standing).Select(value => value.Parameter.Name));
        List<string> parts = [];
        foreach ((FitStanding standing, string words) in new[] { (FitStanding.Assumed, "assumed: "), (FitStanding.Loose, "told loosely: "), (FitStanding.AtBound, "without influence: ") })
        {
            if (Names(standing) is { Length: > 0 } names)
            {
                parts.Add(words + names);
            }
        }

        string fitted = "fitted to measurements" + (parts.Count == 0 ? "" : " (" + string.Join("; ", parts) + ")");
        return document.Description.Length == 0 ? fitted : $"{document.Description}; {fitted}";
    }

    /// <summary>Whether a value may be shown as such.</summary>
    private static bool Shown(FittedValue value) => value.Standing is not (FitStanding.Undetermined or FitStanding.AtBound);

    /// <summary>The value in the unit of its file, to so many digits as a fit can be good for; given ones as they are.</summary>
    private static double Rounded(FittedValue value)
    {
        double shown = value.Value / value.Parameter.Scale;
        return value.Standing is FitStanding.Known or FitStanding.Assumed ? Math.Round(shown, 9) : Round(shown);
    }

    private static double Round(double value) =>
        double.Parse(value.ToString("G" + Digits.ToString(System.Globalization.CultureInfo.InvariantCulture), System.Globalization.CultureInfo.InvariantCulture), System.Globalization.CultureInfo.InvariantCulture);

    private static void WriteTexts(Utf8JsonWriter json, string name, IEnumerable<string> texts)
    {
        json.WriteStartArray(name);
        foreach (string text in texts)
        {
            json.WriteStringValue(text);
        }

        json.WriteEndArray();
    }
}
