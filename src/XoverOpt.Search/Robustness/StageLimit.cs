using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>Where the chain gives in at one frequency, first the stage that does so first.</summary>
/// <param name="Hz">Frequency, Hz.</param>
/// <param name="Stages">Every stage with the level at the desk at which it clips, dBu, rising.</param>
/// <param name="EardrumDb">Eardrum SPL when the first gives in, dB re 20 µPa.</param>
public sealed record StageLimit(double Hz, IReadOnlyList<StageLevel> Stages, double EardrumDb)
{
    /// <summary>The stage that gives in first.</summary>
    public StageLevel First => Stages[0];

    internal static StageLimit At(Earpiece earpiece, Ear ear, StageChain chain, double hz)
    {
        PlainResponse response = PlainResponse.At(earpiece, ear, new(1, chain.PackOhm), 2 * Math.PI * hz);
        Complex loop = response.SocketImpedance + chain.PackOhm;
        var stages = new List<StageLevel>
        {
            new("console output", chain.ConsoleMaxDbu, true),
            new("transmitter", chain.TransmitterFullDbu, true),
            new("body pack voltage", chain.DeskDbu(chain.PackMaxVolt), true),
            new("body pack current", chain.DeskDbu(chain.PackMaxAmpere * loop.Magnitude), true),
        };
        var headroom = Headroom.At(earpiece, ear, hz);
        if (headroom.Way >= 0)
        {
            Way way = earpiece.Ways[headroom.Way];
            stages.Add(new(
                $"{way.Name} {way.Receiver.PartNumber} {(headroom.ByTravel ? "armature travel" : "coil current")}",
                chain.DeskDbu(headroom.SocketVoltage / response.SocketVoltage.Magnitude),
                false));
        }

        StageLevel[] rising = [.. stages.OrderBy(stage => stage.DeskDbu)];
        double volt = chain.PackVolt(rising[0].DeskDbu);
        return new(hz, rising, 20 * Math.Log10(response.DrumPressure.Magnitude * volt / 20e-6));
    }
}

/// <summary>The level at the desk at which a stage clips.</summary>
/// <param name="Stage">Which.</param>
/// <param name="DeskDbu">The level, dBu.</param>
/// <param name="Electrical">Whether it is one before the receivers; false for a receiver.</param>
public sealed record StageLevel(string Stage, double DeskDbu, bool Electrical);
