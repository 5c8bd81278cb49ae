using System.Text.Json;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Writes the parts of a build/1 file.</summary>
internal static class BuildFileWriter
{
    /// <summary>The cost by its parts.</summary>
    public static void Cost(Utf8JsonWriter json, CostBreakdown cost)
    {
        json.WritePropertyName("cost");
        json.WriteLine(line =>
        {
            line.WriteFinite("total", cost.Total);
            line.WriteFinite("magnitude", cost.Magnitude);
            line.WriteFinite("phase", cost.Phase);
            line.WriteFinite("arrival", cost.Arrival);
            line.WriteFinite("summing", cost.Summing);
            line.WriteFinite("penalty", cost.Penalty);
        });
    }

    /// <summary>Every figure, in the units people read.</summary>
    public static void Figures(Utf8JsonWriter json, BuildFigures figures)
    {
        json.WriteStartObject("figures");
        json.WriteFinite("magnitudeRmsDb", figures.MagnitudeRmsDb);
        json.WriteFinite("magnitudeMaxDb", figures.MagnitudeMaxDb);
        json.WriteFinite("phaseRmsDeg", figures.PhaseRmsDeg);
        json.WriteFinite("phaseMaxDeg", figures.PhaseMaxDeg);
        json.WriteFinite("arrivalSpreadUs", figures.ArrivalSpreadUs);
        json.WriteRow("arrivalUs", figures.ArrivalUs);
        json.WriteFinite("summingLossDb", figures.SummingLossDb);
        json.WriteFinite("splAt100mV", figures.SplAt100mV);
        json.WriteFinite("splAt100mV1kHz", figures.SplAt100mV1kHz);
        json.WriteFinite("splAt1mW", figures.SplAt1mW);
        json.WriteFinite("splAt1mW1kHz", figures.SplAt1mW1kHz);
        json.WriteFinite("impedanceMinOhm", figures.ImpedanceMinOhm);
        json.WriteFinite("impedance1kHzOhm", figures.Impedance1kHzOhm);
        json.WriteFinite("sourceShiftDb", figures.SourceShiftDb);
        json.WriteStartArray("headroom");
        foreach (PeakHeadroom peak in figures.Headroom)
        {
            json.WriteLine(line =>
            {
                line.WriteFinite("hz", peak.Hz);
                line.WriteFinite("db", peak.Db);
                line.WriteString("way", peak.Way);
                line.WriteString("limit", peak.Limit);
                line.WriteFinite("socketVolt", peak.SocketVolt);
            });
        }

        json.WriteEndArray();
        json.WriteAmount("partsCost", figures.PartsCost);
        json.WriteNumber("unpricedParts", figures.UnpricedParts);
        json.WriteNumber("receivers", figures.Receivers);
        json.WriteNumber("parts", figures.Parts);
        json.WriteFinite("bodyVolumeMm3", figures.BodyVolumeMm3);
        json.WriteEndObject();
    }

    /// <summary>The response: one number a frequency in every row.</summary>
    public static void Response(Utf8JsonWriter json, EarpieceResponse response)
    {
        json.WriteStartObject("response");
        json.WriteRow("hz", response.Hz);
        json.WriteRow("pressureRe", response.Pressure.Select(p => p.Real));
        json.WriteRow("pressureIm", response.Pressure.Select(p => p.Imaginary));
        json.WriteRow("impedanceRe", response.Impedance.Select(z => z.Real));
        json.WriteRow("impedanceIm", response.Impedance.Select(z => z.Imaginary));
        json.WriteStartArray("ways");
        foreach (WayShare way in response.Ways)
        {
            json.WriteStartObject();
            json.WriteString("name", way.Name);
            json.WriteRow("pressureRe", way.Pressure.Select(p => p.Real));
            json.WriteRow("pressureIm", way.Pressure.Select(p => p.Imaginary));
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }
}
