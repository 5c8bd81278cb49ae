using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>Changes a receiver by what is measured on arrival.</summary>
public static class ReceiverChange
{
    // Where sensitivity is usually read; the coil's impedance there turns the voltage into a current.
    private const double SensitivityHz = 1000;

    /// <summary>
    /// The receiver with another sensitivity, resonance and resistance: the resistance as it is; the resonance by the moving mass, which
    /// leaves the level below resonance alone; the sensitivity, at a voltage, by the force factor, which makes good what the resistance
    /// takes from the current. The back-EMF is left out of account: it is small away from resonance.
    /// </summary>
    /// <param name="receiver">The receiver as its part says.</param>
    /// <param name="sensitivityDb">Change of sensitivity at a voltage, dB.</param>
    /// <param name="resonancePercent">Change of resonance, %.</param>
    /// <param name="resistancePercent">Change of DC resistance, %.</param>
    public static Receiver Apply(Receiver receiver, double sensitivityDb, double resonancePercent, double resistancePercent)
    {
        double omega = 2 * Math.PI * SensitivityHz;
        Receiver other = receiver with
        {
            DcResistance = receiver.DcResistance * (1 + (resistancePercent / 100)),
            Mass = receiver.Mass / Math.Pow(1 + (resonancePercent / 100), 2),
        };
        double current = Complex.Abs(receiver.CoilImpedance(omega)) / Complex.Abs(other.CoilImpedance(omega));
        return other with { ForceFactor = receiver.ForceFactor * Math.Pow(10, sensitivityDb / 20) / current };
    }
}
