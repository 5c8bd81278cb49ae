using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads where a document has a measured curve: a file beside it ("file"), the text of one ("csv") or a WAV ("wavBase64"); with "name",
/// "calibration" and "trustUnits".
/// </summary>
internal static class MeasuredEntry
{
    private static readonly string[] Sources = ["file", "csv", "wavBase64"];

    /// <summary>Reads the curve of an object; its other keys are left to the caller.</summary>
    /// <param name="reader">The object.</param>
    /// <param name="folder">Where files are looked for; null where none may be named.</param>
    /// <returns>The curve; null after a fault.</returns>
    public static MeasuredCurve? Read(ObjectReader reader, string? folder)
    {
        bool trust = reader.Optional("trustUnits")?.AsFlag() ?? false;
        MeasuredCalibration calibration = Calibration(reader.Object("calibration"));
        string? name = reader.Text("name", 80);
        JsonCursor[] given = [.. Sources.Select(reader.Optional).OfType<JsonCursor>()];
        if (given.Length != 1)
        {
            reader.At.Refuse("one of the keys file, csv, wavBase64", found: given.Length == 0 ? "none of them" : $"{given.Length} of them");
            return null;
        }

        JsonCursor at = given[0];
        if (at.AsText(JsonSource.MostBytes) is not { } text)
        {
            return null;
        }

        MeasuredPlace place = new(at.File, at.Pointer, at.Faults);
        string shown = name ?? "curve " + reader.At.Pointer.Split('/')[^1];
        if (at.Pointer.EndsWith("/csv", StringComparison.Ordinal))
        {
            return MeasuredFile.Parse(Encoding.UTF8.GetBytes(text), place, shown, calibration, trust);
        }

        if (at.Pointer.EndsWith("/wavBase64", StringComparison.Ordinal))
        {
            byte[] bytes = new byte[text.Length];
            if (Convert.TryFromBase64String(text, bytes, out int count))
            {
                return MeasuredFile.Parse(bytes.AsSpan(0, count), place, shown, calibration, trust);
            }

            at.Refuse("a WAV file as base64");
            return null;
        }

        if (folder is null)
        {
            at.Refuse("\"csv\" with the text of the file, or \"wavBase64\"", "What is sent has no folder to take a file from.");
            return null;
        }

        MeasuredCurve? curve = MeasuredFile.Read(Path.Combine(folder, text), text, at.Faults, calibration, trust);
        return curve is not null && name is not null ? curve with { Name = name } : curve;
    }

    private static MeasuredCalibration Calibration(ObjectReader? reader)
    {
        if (reader is null)
        {
            return MeasuredCalibration.None;
        }

        double? pascal = reader.Number("pascalPerFullScale", NumberRange.Positive(1e6, "Pa"));
        double? volt = reader.Number("voltPerFullScale", NumberRange.Positive(1e4, "V")), sensitivity = reader.Number("millivoltPerPascal", NumberRange.Positive(1e5, "mV/Pa"));
        double? level = reader.Number("levelDb", new(-60, 200, "dB re 20 µPa"));
        double hz = reader.Number("atHz", new(1, 100_000, "Hz")) ?? 1000;
        int? channel = (int?)reader.Whole("channel", 1, 64);
        if (volt is null != sensitivity is null)
        {
            reader.At.Refuse("voltPerFullScale and millivoltPerPascal together", found: "one of them");
        }

        if (new[] { pascal, volt, level }.Count(way => way is not null) > 1)
        {
            reader.At.Refuse("one of pascalPerFullScale, voltPerFullScale with millivoltPerPascal, and levelDb", found: "several");
        }

        reader.Finish();
        return volt is { } v && sensitivity is { } s ? MeasuredCalibration.OfVolts(v, s) with { Channel = channel } : new(pascal, level, hz, channel);
    }
}
