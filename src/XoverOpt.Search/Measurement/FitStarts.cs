using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>Where descents begin: usual values scaled to the coil's resistance, what Hunt's parameters say of the motor, and these scattered.</summary>
internal static class FitStarts
{
    /// <summary>Receivers to begin from, the likeliest first.</summary>
    /// <param name="problem">The measurements.</param>
    /// <param name="count">How many.</param>
    public static IEnumerable<Receiver> Of(ReceiverFitProblem problem, int count)
    {
        Random64 random = new(problem.Seed);
        Receiver[] centres = [.. Centres(problem)];
        for (int k = 0; k < count; k++)
        {
            Receiver centre = centres[k % centres.Length];
            yield return k < centres.Length ? centre : Scattered(centre, random);
        }
    }

    /// <summary>Likely receivers of three sizes, and one from Hunt's parameters where they can be had.</summary>
    private static IEnumerable<Receiver> Centres(ReceiverFitProblem problem)
    {
        double ohm = CoilResistance(problem);
        Receiver usual = Sized(ohm, 1);
        if (FromHunt(problem, usual) is { } hunt)
        {
            yield return hunt;
        }

        yield return usual;
        yield return Sized(ohm, 0.55);
        yield return Sized(ohm, 1.6);
    }

    /// <summary>A receiver of a size relative to the usual one: area with its square, volumes and mass with its cube.</summary>
    private static Receiver Sized(double ohm, double size)
    {
        double V(int p, double factor) => ReceiverParameter.All[p].Usual * factor;
        return new()
        {
            PartNumber = "",
            DcResistance = ohm,
            Inductance = 6e-5 * ohm,
            SemiInductance = 0.025 * ohm,
            ForceFactor = V(ReceiverParameter.ForceFactor, size * Math.Sqrt(ohm / 40)),
            Mass = V(ReceiverParameter.Mass, size * size * size),
            Compliance = V(ReceiverParameter.Compliance, 1 / size),
            Resistance = V(ReceiverParameter.Resistance, size * size),
            DiaphragmArea = V(ReceiverParameter.DiaphragmArea, size * size),
            RearVolume = V(ReceiverParameter.RearVolume, size * size * size),
            FrontVolume = V(ReceiverParameter.FrontVolume, size * size * size),
            SpoutLength = V(ReceiverParameter.SpoutLength, size),
            SpoutBore = V(ReceiverParameter.SpoutBore, 1),
        };
    }

    private static double CoilResistance(ReceiverFitProblem problem)
    {
        if (problem.Known.TryGetValue(ReceiverParameter.DcResistance, out double known))
        {
            return known;
        }

        ReceiverParameter coil = ReceiverParameter.All[ReceiverParameter.DcResistance];
        MeasuredCurve? lowest = problem.Measurements.Select(one => one.Curve).Where(curve => curve.ImpedanceOhm is not null).MinBy(curve => curve.LowHz);
        double real = lowest is null ? coil.Usual : lowest.Impedance is { } z ? z[0].Real : lowest.ImpedanceOhm![0];
        return Math.Clamp(real, coil.Lowest, coil.Highest);
    }

    /// <summary>Motor from Hunt's parameters: T_a low down, Z_a's stiffness low down, its mass where it turns positive, for a diaphragm of usual size.</summary>
    private static Receiver? FromHunt(ReceiverFitProblem problem, Receiver usual)
    {
        if (HuntCurve.Of(problem) is not { } curve)
        {
            return null;
        }

        double area = problem.Known.TryGetValue(ReceiverParameter.DiaphragmArea, out double known) ? known
            : problem.Assumed.TryGetValue(ReceiverParameter.DiaphragmArea, out double assumed) ? assumed : usual.DiaphragmArea;
        double[] stiffness = [.. curve.Hz.Zip(curve.Found).Where(at => at.First < 1000 && at.Second.Za.Imaginary < 0).Select(at => -at.Second.Za.Imaginary * 2 * Math.PI * at.First).Order()];
        double[] transduction = [.. curve.Hz.Zip(curve.Found).Where(at => at.First < 1000).Select(at => Complex.Sqrt(at.Second.TaSquare).Magnitude).Order()];
        int above = Enumerable.Range(0, curve.Hz.Count).FirstOrDefault(k => curve.Hz[k] > 300 && curve.Found[k].Za.Imaginary > 0, -1);
        if (stiffness.Length < 3 || above < 0)
        {
            return null;
        }

        double perVolume = stiffness[stiffness.Length / 2], resonance = 2 * Math.PI * curve.Hz[above];
        ReceiverParameter T = ReceiverParameter.All[ReceiverParameter.ForceFactor], m = ReceiverParameter.All[ReceiverParameter.Mass],
            C = ReceiverParameter.All[ReceiverParameter.Compliance];
        double air = area * area * problem.Air.BulkModulus / usual.RearVolume, total = perVolume * area * area;
        return usual with
        {
            DiaphragmArea = area,
            ForceFactor = Math.Clamp(transduction[transduction.Length / 2] * area, T.Lowest, T.Highest),
            Compliance = Math.Clamp(1 / Math.Max(total - air, total / 3), C.Lowest, C.Highest),
            Mass = Math.Clamp(total / (resonance * resonance), m.Lowest, m.Highest),
        };
    }

    private static Receiver Scattered(Receiver centre, Random64 random)
    {
        foreach (ReceiverParameter parameter in ReceiverParameter.All)
        {
            if (parameter.Of(centre) is { } value)
            {
                centre = parameter.With(centre, Math.Clamp(value * Math.Exp(0.5 * random.NextNormal()), parameter.Lowest, parameter.Highest));
            }
        }

        return centre;
    }
}
