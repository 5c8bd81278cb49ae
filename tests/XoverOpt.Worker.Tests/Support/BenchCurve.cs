using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;

namespace XoverOpt.Worker.Tests.Support;

/// <summary>What a bench without noise would measure of a build.</summary>
internal static class BenchCurve
{
    /// <summary>A build with the leads of a way turned over.</summary>
    public static string Turned(string build, int way)
    {
        JsonNode json = JsonNode.Parse(build)!;
        JsonNode turned = json["ways"]![way]!;
        turned["polarity"] = (string?)turned["polarity"] == "normal" ? "inverted" : "normal";
        return json.ToJsonString();
    }

    /// <summary>The response of a build file as CSV, with impedance if wished.</summary>
    public static string Csv(string build, bool impedance = true)
    {
        JsonNode response = JsonNode.Parse(build)!["response"]!;
        double[] Of(string name) => [.. response[name]!.AsArray().Select(value => (double)value!)];
        double[] hz = Of("hz"), re = Of("pressureRe"), im = Of("pressureIm"), zRe = Of("impedanceRe"), zIm = Of("impedanceIm");
        StringBuilder text = new(impedance ? "hz,spl_db,impedance_ohm,impedance_phase_deg\n" : "hz,spl_db\n");
        for (int k = 0; k < hz.Length; k++)
        {
            string z = impedance ? FormattableString.Invariant($",{double.Hypot(zRe[k], zIm[k])},{Math.Atan2(zIm[k], zRe[k]) * 180 / Math.PI}") : "";
            text.Append(CultureInfo.InvariantCulture, $"{hz[k]},{20 * Math.Log10(double.Hypot(re[k], im[k]) / 20e-6)}{z}\n");
        }

        return text.ToString();
    }

    /// <summary>Ten receivers of each part of the desk, invented.</summary>
    public static string Serials()
    {
        StringBuilder text = new("serial,part_number,sensitivity_db,resonance_hz,dc_resistance_ohm\n");
        for (int k = 0; k < 20; k++)
        {
            text.Append(CultureInfo.InvariantCulture, $"S{k:00},{(k % 2 == 0 ? "LO-1" : "HI-1")},{0.3 * (k % 7)},{2700 + (10 * (k % 5))},{37 + (0.2 * (k % 3))}\n");
        }

        return text.ToString();
    }
}
