using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// A receiver with the sensitivity, resonance and DC resistance of one piece. What a maker states is what is measured, so that is what is met:
/// <list type="bullet">
/// <item>DC resistance: R_dc itself; the reactive part of the coil stays.</item>
/// <item>Resonance: the moving mass, f ∝ 1/√m. Compliance would carry the sensitivity along, mass leaves it.</item>
/// <item>Sensitivity: the force factor T, last, so that the level into 1.26 cm³ (the volume of the ear simulator) from a stiff source
/// at the reference frequency is the stated number of dB off, whatever resonance and resistance the piece has. With
/// |p| ∝ T/|W + T²|, W = Z_e Z, Z being the mechanical impedance with the air in front, this is a quadratic equation in T²; its smaller root
/// is the motor that the coil, not the back-EMF, governs.</item>
/// </list>
/// The reference is 500 Hz, or the first of 250, 125 … Hz at which T² is at most |W|/4: where the back-EMF governs, more force factor
/// gives less level. A draw beyond the most that any force factor gives there is held at that most.
/// </summary>
public sealed class SpreadReceiver
{
    private const double CouplerVolume = 1.26e-6;
    private readonly double _omega;
    private readonly double _stiffness;
    private readonly Complex _reactive;
    private readonly double _level;

    /// <summary>Prepares a receiver in some air.</summary>
    public SpreadReceiver(Receiver nominal, Air air)
    {
        Nominal = nominal;
        double area2 = nominal.DiaphragmArea * nominal.DiaphragmArea;
        _stiffness = (1 / nominal.Compliance) + (area2 * air.BulkModulus * ((1 / nominal.RearVolume) + (1 / (nominal.FrontVolume + CouplerVolume))));
        double hz = 500, square = nominal.ForceFactor * nominal.ForceFactor;
        while (square > 0.25 * Complex.Abs(Governing(2 * Math.PI * hz, nominal)) && hz > 1)
        {
            hz /= 2;
        }

        ReferenceHz = hz;
        _omega = 2 * Math.PI * hz;
        _reactive = nominal.CoilImpedance(_omega) - nominal.DcResistance;
        _level = nominal.ForceFactor / Complex.Abs(Governing(_omega, nominal) + square);
    }

    /// <summary>The receiver as stated.</summary>
    public Receiver Nominal { get; }

    /// <summary>Where the sensitivity is met exactly, Hz.</summary>
    public double ReferenceHz { get; }

    /// <summary>R_dc, T and m of one piece.</summary>
    /// <param name="sensitivityDb">Level off, dB.</param>
    /// <param name="resonance">Resonance over the stated one.</param>
    /// <param name="resistance">DC resistance over the stated one.</param>
    public (double DcResistance, double ForceFactor, double Mass) Piece(double sensitivityDb, double resonance, double resistance)
    {
        double ohm = Nominal.DcResistance * resistance, mass = Nominal.Mass / (resonance * resonance);
        if (sensitivityDb == 0 && resonance == 1 && resistance == 1)
        {
            return (Nominal.DcResistance, Nominal.ForceFactor, Nominal.Mass);
        }

        Complex w = (ohm + _reactive) * new Complex(Nominal.Resistance, (_omega * mass) - (_stiffness / _omega));
        double level = _level * Math.Pow(10, sensitivityDb / 20);

        // level² |W + u|² = u, u = T²: level² u² + (2 level² Re W − 1) u + level² |W|² = 0.
        double square = level * level, size = (w.Real * w.Real) + (w.Imaginary * w.Imaginary), b = 1 - (2 * square * w.Real);
        double inside = (b * b) - (4 * square * square * size);
        double u = inside <= 0 || b <= 0 ? Math.Sqrt(size) : 2 * square * size / (b + Math.Sqrt(inside));
        return (ohm, Math.Sqrt(u), mass);
    }

    /// <summary>The receiver of one piece.</summary>
    /// <inheritdoc cref="Piece"/>
    public Receiver Of(double sensitivityDb, double resonance, double resistance)
    {
        (double ohm, double force, double mass) = Piece(sensitivityDb, resonance, resistance);
        return Nominal with { DcResistance = ohm, ForceFactor = force, Mass = mass };
    }

    private Complex Governing(double omega, Receiver receiver) =>
        receiver.CoilImpedance(omega) * new Complex(receiver.Resistance, (omega * receiver.Mass) - (_stiffness / omega));
}
