using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>What to ask of a level budget.</summary>
public sealed record LevelSettings
{
    /// <summary>The chain on stage.</summary>
    public required StageChain Chain { get; init; }

    /// <summary>Wanted mean eardrum SPL at 1 kHz, dB re 20 µPa.</summary>
    public double WantedDb { get; init; } = 95;

    /// <summary>Peaks of the programme above its mean, dB (common practice, no source); 3.01 for a sine.</summary>
    public double CrestDb { get; init; } = 12;

    /// <summary>RMS level of programme-simulation noise at the desk for the exposure, dBu; null for what makes the wanted level at the eardrum.</summary>
    public double? DeskDbu { get; init; }

    /// <summary>The field the exposure is referred to.</summary>
    public SoundField Field { get; init; } = SoundField.Diffuse;
}

/// <summary>The loudest a build can go at a frequency.</summary>
/// <param name="Hz">Frequency, Hz.</param>
/// <param name="Db">Eardrum SPL at the first receiver limit, dB re 20 µPa; null where no receiver states one.</param>
/// <param name="SocketMillivolt">RMS voltage at the socket that does it, mV.</param>
/// <param name="Way">The way that meets its limit.</param>
/// <param name="Receiver">Its receiver.</param>
/// <param name="Limit">"armature travel" (its peak) or "coil current".</param>
public sealed record PeakLevel(double Hz, double? Db, double? SocketMillivolt, string? Way, string? Receiver, string? Limit);

/// <summary>From the desk to the eardrum: sensitivity, how loud by frequency, what clips first, how long one may listen.</summary>
public sealed record LevelBudget
{
    /// <summary>Eardrum SPL at 100 mV at the socket and 500 Hz, dB re 20 µPa.</summary>
    public required double SplAt100mV { get; init; }

    /// <summary>The same at 1 kHz.</summary>
    public required double SplAt100mV1kHz { get; init; }

    /// <summary>Eardrum SPL for 1 mW into the socket at 500 Hz, dB re 20 µPa.</summary>
    public required double SplAt1mW { get; init; }

    /// <summary>The same at 1 kHz.</summary>
    public required double SplAt1mW1kHz { get; init; }

    /// <summary>The loudest, third-octave by third-octave from 20 Hz to 20 kHz.</summary>
    public required IReadOnlyList<PeakLevel> Peaks { get; init; }

    /// <summary>Receivers that state no limit: the build may give in earlier than said.</summary>
    public required IReadOnlyList<string> WithoutLimits { get; init; }

    /// <summary>Receivers that state only one of their two limits.</summary>
    public required IReadOnlyList<string> WithOneLimit { get; init; }

    /// <summary>The chain on stage as it was taken.</summary>
    public required StageChain Chain { get; init; }

    /// <summary>Where it gives in, at the same frequencies.</summary>
    public required IReadOnlyList<StageLimit> Stages { get; init; }

    /// <summary>Room at the desk above the wanted level.</summary>
    public required StageRoom Room { get; init; }

    /// <summary>The lowest impedance of the build at these frequencies, Ω: below the pack's lowest load the pack is short of current.</summary>
    public required double LowestLoadOhm { get; init; }

    /// <summary>The RMS level of programme-simulation noise at the desk that the first exposure is for, dBu.</summary>
    public required double ProgrammeDbu { get; init; }

    /// <summary>Exposure to programme-simulation noise: from the desk first, then at round voltages at the socket.</summary>
    public required IReadOnlyList<Exposure> Exposures { get; init; }

    /// <summary>Computes it.</summary>
    public static LevelBudget Of(Earpiece earpiece, Problem problem, LevelSettings settings)
    {
        double[] hz = [.. ProgrammeNoise.Bands.Select(band => band.Hz)];
        StageLimit[] stages = [.. hz.Select(f => StageLimit.At(earpiece, problem.Ear, settings.Chain, f))];
        StageRoom room = StageRoom.Of(earpiece, problem, settings.Chain, settings.WantedDb, settings.CrestDb, stages);

        // The chain is linear below its limits, so noise of an RMS level at the desk has that RMS voltage at the pack; but spread over frequency it is not
        // as loud as a sine of 1 kHz. The level asked for is one of programme: the noise as a whole makes it.
        Exposure atZeroDbu = Exposure.Of(earpiece, problem.Ear, new(settings.Chain.PackVolt(0), settings.Chain.PackOhm), settings.Field);
        double desk = settings.DeskDbu ?? settings.WantedDb - atZeroDbu.EardrumDb;
        Exposure fromDesk = atZeroDbu.At(1e3 * settings.Chain.PackVolt(desk));
        Exposure atSocket = Exposure.Of(earpiece, problem.Ear, new(0.1, 0), settings.Field);
        (double mV500, double mW500) = Sensitivity(500);
        (double mV1k, double mW1k) = Sensitivity(1000);
        IEnumerable<Receiver> receivers = earpiece.Ways.Select(way => way.Receiver).DistinctBy(receiver => receiver.PartNumber);
        return new()
        {
            SplAt100mV = mV500,
            SplAt100mV1kHz = mV1k,
            SplAt1mW = mW500,
            SplAt1mW1kHz = mW1k,
            Peaks = [.. hz.Select(Peak)],
            WithoutLimits = [.. receivers.Where(receiver => Limits(receiver) == 0).Select(receiver => receiver.PartNumber)],
            WithOneLimit = [.. receivers.Where(receiver => Limits(receiver) == 1).Select(receiver => receiver.PartNumber)],
            Chain = settings.Chain,
            Stages = stages,
            Room = room,
            LowestLoadOhm = hz.Min(f => At(f).SocketImpedance.Magnitude),
            ProgrammeDbu = desk,
            Exposures = [fromDesk, .. new double[] { 10, 20, 50, 100, 200 }.Append(problem.Source.Voltage * 1e3).Distinct().Order().Select(atSocket.At)],
        };

        PlainResponse At(double f) => PlainResponse.At(earpiece, problem.Ear, new(1, 0), 2 * Math.PI * f);

        // 1 mW into the socket needs the voltage √(P/Re Y).
        (double, double) Sensitivity(double f)
        {
            PlainResponse response = At(f);
            double perVolt = response.DrumPressure.Magnitude / 20e-6;
            return (20 * Math.Log10(0.1 * perVolt), 20 * Math.Log10(Math.Sqrt(1e-3 / (1 / response.SocketImpedance).Real) * perVolt));
        }

        PeakLevel Peak(double f)
        {
            var headroom = Headroom.At(earpiece, problem.Ear, f);
            if (headroom.Way < 0)
            {
                return new(f, null, null, null, null, null);
            }

            Way way = earpiece.Ways[headroom.Way];
            return new(f, headroom.Spl, headroom.SocketVoltage * 1e3, way.Name, way.Receiver.PartNumber, headroom.ByTravel ? "armature travel" : "coil current");
        }

        static int Limits(Receiver receiver) => (receiver.TravelLimit is null ? 0 : 1) + (receiver.CurrentLimit is null ? 0 : 1);
    }
}
