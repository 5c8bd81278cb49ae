using System.Text;
using MathNet.Numerics;

namespace XoverOpt.Search;

/// <summary>One quantity of an earpiece that varies from unit to unit.</summary>
/// <param name="Role">
/// Where it stands, such as "low receiver 2 sensitivity". The draws belong to this name: two builds that have the role draw alike for it,
/// so that what is compared is the builds and not their luck.
/// </param>
/// <param name="Kind">What varies.</param>
/// <param name="Way">Index of the way.</param>
/// <param name="Index">Which receiver, network section or tube piece of the way, from 0.</param>
/// <param name="Extent">One standard deviation of a receiver's quantity; half-width of a band for the rest.</param>
/// <param name="Shape">How it is distributed.</param>
public sealed record SpreadPart(string Role, SpreadKind Kind, int Way, int Index, double Extent, SpreadShape Shape)
{
    private const double CutDeviations = 3;
    private const double BandDeviations = 2;

    // What is left of a value at least, however far out of its band a fit looks; no band that a drawer may state reaches there.
    private const double LeastFactor = 0.01;

    private readonly ulong _name = Name(Role);

    /// <summary>Whether <see cref="Extent"/> is a standard deviation.</summary>
    public bool IsDeviation => Kind is SpreadKind.Sensitivity or SpreadKind.Resonance or SpreadKind.DcResistance;

    /// <summary>One standard deviation, in the unit of <see cref="Kind"/>.</summary>
    public double StandardDeviation => Extent * Shape switch
    {
        SpreadShape.Normal => IsDeviation ? 1 : 1.0 / 3,
        SpreadShape.TruncatedNormal => IsDeviation ? LeftOfNormal(CutDeviations) : LeftOfNormal(BandDeviations) / BandDeviations,
        _ => IsDeviation ? 1 : 1 / Math.Sqrt(3),
    };

    /// <summary>
    /// A value with a deviation: a factor e^d for resonance and resistance of a receiver, 1 + d for components and dampers, a sum for lengths
    /// (never below nothing) and levels.
    /// </summary>
    /// <param name="nominal">The value as stated.</param>
    /// <param name="deviation">The deviation, in the unit of <see cref="Kind"/>.</param>
    public double Varied(double nominal, double deviation) => Kind switch
    {
        SpreadKind.Resonance or SpreadKind.DcResistance => nominal * Math.Exp(deviation),
        SpreadKind.Sensitivity => nominal + deviation,
        SpreadKind.TubeLength => Math.Max(nominal + deviation, 0),
        _ => nominal * Math.Max(1 + deviation, LeastFactor),
    };

    /// <summary>
    /// The deviation of a unit, in the unit of <see cref="Kind"/>. It depends on seed, role, unit and distribution only: a generator of
    /// its own is seeded for each, so no unit needs the ones before it.
    /// </summary>
    public double Draw(ulong seed, long unit)
    {
        var random = new Random64(Mix(Mix(_name ^ Mix(seed)) + (ulong)unit));
        return Extent * Shape switch
        {
            SpreadShape.Normal => random.NextNormal() / (IsDeviation ? 1 : 3),
            SpreadShape.TruncatedNormal => IsDeviation ? Cut(random, CutDeviations) : Cut(random, BandDeviations) / BandDeviations,
            _ => ((2 * random.NextDouble()) - 1) * (IsDeviation ? Math.Sqrt(3) : 1),
        };
    }

    /// <summary>Standard deviation of a standard normal cut at ±a: √(1 − 2aφ(a)/(2Φ(a) − 1)).</summary>
    private static double LeftOfNormal(double a) =>
        Math.Sqrt(1 - (2 * a * Math.Exp(-a * a / 2) / Math.Sqrt(2 * Math.PI) / SpecialFunctions.Erf(a / Math.Sqrt(2))));

    private static double Cut(Random64 random, double at)
    {
        double deviate;
        do
        {
            deviate = random.NextNormal();
        }
        while (Math.Abs(deviate) > at);

        return deviate;
    }

    /// <summary>FNV-1a, 64 bits, of the role's UTF-8 text (G. Fowler, L. C. Noll, K.-P. Vo).</summary>
    private static ulong Name(string role)
    {
        ulong hash = 0xcbf29ce484222325;
        foreach (byte letter in Encoding.UTF8.GetBytes(role))
        {
            hash = (hash ^ letter) * 0x100000001b3;
        }

        return hash;
    }

    /// <summary>The mixing step of SplitMix64 (Steele, Lea and Flood 2014), a bijection.</summary>
    private static ulong Mix(ulong z)
    {
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
        z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
        return z ^ (z >> 31);
    }
}
