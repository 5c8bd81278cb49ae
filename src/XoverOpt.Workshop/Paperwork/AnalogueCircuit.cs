using System.Globalization;
using System.Text;
using XoverOpt.Acoustics;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// Writes circuit elements of general SPICE syntax (R, L, C, V, H). Acoustics stand as their impedance analogue: a pressure of 1 Pa is
/// 1 V and a volume velocity is a current of <see cref="FlowScale"/> A per m³/s, so that acoustical elements lie near the electrical ones.
/// </summary>
internal sealed class AnalogueCircuit
{
    /// <summary>Amperes per m³/s.</summary>
    public const double FlowScale = 1e8;

    // Zeros of J₀ (NIST DLMF 10.21, table 9.5 of Abramowitz and Stegun).
    private static readonly double[] BesselZeros =
        [2.404825557695773, 5.520078110286311, 8.653727912911013, 11.791534439014281, 14.930917708487787, 18.071063967910924];

    private readonly StringBuilder _text = new();
    private int _parts;
    private int _nodes;

    /// <summary>The lines so far.</summary>
    public override string ToString() => _text.ToString();

    /// <summary>A comment line.</summary>
    public void Comment(string text) => _text.Append("* ").Append(text.ReplaceLineEndings(" ")).Append('\n');

    /// <summary>A line as it is.</summary>
    public void Line(string line) => _text.Append(line).Append('\n');

    /// <summary>A node of its own.</summary>
    public string Node() => string.Create(CultureInfo.InvariantCulture, $"n{++_nodes}");

    /// <summary>A resistor, coil or capacitor between two nodes.</summary>
    /// <returns>Its name.</returns>
    public string Part(char kind, string from, string to, double value, string? name = null)
    {
        name = name is null ? string.Create(CultureInfo.InvariantCulture, $"{kind}x{++_parts}") : kind + name;
        Line(string.Create(CultureInfo.InvariantCulture, $"{name} {from} {to} {value:R}"));
        return name;
    }

    /// <summary>A part in series behind a node; the node itself for a resistance or mass of nothing.</summary>
    /// <returns>The node behind it.</returns>
    public string Series(char kind, string from, double value, string? name = null)
    {
        if (value == 0)
        {
            return from;
        }

        string to = Node();
        Part(kind, from, to, value, name);
        return to;
    }

    /// <summary>A voltage source of nothing, which measures the current through it.</summary>
    /// <returns>Its name.</returns>
    public string Ammeter(string from, string to)
    {
        string name = string.Create(CultureInfo.InvariantCulture, $"Vx{++_parts}");
        Line($"{name} {from} {to} 0");
        return name;
    }

    /// <summary>A voltage that follows the current through a source.</summary>
    public void Follow(string from, string to, string ammeter, double ohm) =>
        Line(string.Create(CultureInfo.InvariantCulture, $"Hx{++_parts} {from} {to} {ammeter} {ohm:R}"));

    /// <summary>An acoustic resistance, Pa·s/m³, in series.</summary>
    public string Resistance(string from, double value) => Series('R', from, value / FlowScale);

    /// <summary>An acoustic mass, kg/m⁴, in series.</summary>
    public string Mass(string from, double value) => Series('L', from, value / FlowScale);

    /// <summary>An acoustic compliance, m³/Pa, to ground.</summary>
    public void Volume(string at, double value) => Part('C', at, "0", value * FlowScale);

    /// <summary>
    /// K·√(jω) as a chain of R ∥ L pairs. From √s = (1/π)∫ x^(−½) s/(s + x) dx: the integral over ln x becomes an even sum, and what lies
    /// beyond its ends a resistor and a coil. Off by less than 10⁻³ of itself from 20 Hz to 20 kHz.
    /// </summary>
    /// <returns>The node behind it.</returns>
    public string HalfInductance(string from, double k)
    {
        const double First = 2 * Math.PI, Last = 2 * Math.PI * 1e6, StepsPerDecade = 2;
        double step = Math.Log(10) / StepsPerDecade;
        int count = (int)Math.Round(Math.Log(Last / First) / step) + 1;
        string at = Series('R', from, k * 2 / Math.PI * Math.Sqrt(First * Math.Exp(-step / 2)));
        at = Series('L', at, k * 2 / Math.PI / Math.Sqrt(Last * Math.Exp(step / 2)));
        for (int n = 0; n < count; n++)
        {
            double x = First * Math.Exp(n * step), r = k * step / Math.PI * Math.Sqrt(x);
            string to = Node();
            Part('R', at, to, r);
            Part('L', at, to, r / x);
            at = to;
        }

        return at;
    }

    /// <summary>
    /// A sound tube with friction and heat, cut into short pieces. Friction: 1/z is a sum over the zeros j of J₀ of branches R + jωL with
    /// L = ρ j²/4S and R = L (η/ρ) j²/a²; heat: beside the air's spring a sum of branches of C = (γ − 1)(4/j²) S/ρc² and the time constant
    /// a²/(α_t j²), both by the partial fractions of J₁/J₀ (NIST DLMF 10.21). Six zeros by themselves, the rest in groups.
    /// </summary>
    /// <returns>The node at its end.</returns>
    public string Tube(string from, double length, double bore, Air air)
    {
        const double Longest = 0.8e-3;
        int pieces = Math.Max(1, (int)Math.Ceiling(length / Longest));
        double a = bore / 2, area = Math.PI * a * a, piece = length / pieces;
        double diffusion = air.Viscosity / air.Density / (a * a), heat = air.ThermalDiffusivity / (a * a);
        string at = from;
        for (int p = 0; length > 0 && p < pieces; p++)
        {
            // Half the spring at each end of a piece.
            Springs(at);
            string to = Node();
            foreach ((double share, double rate) in Branches())
            {
                double mass = air.Density * piece / (area * share) / FlowScale;
                string mid = Node();
                Part('L', at, mid, mass);
                Part('R', mid, to, mass * diffusion * rate);
            }

            at = to;
            Springs(at);
        }

        return at;

        void Springs(string node)
        {
            double spring = area * piece / air.BulkModulus / 2;
            Volume(node, spring);
            foreach ((double share, double rate) in Branches())
            {
                double c = (air.HeatRatio - 1) * spring * share * FlowScale;
                string mid = Node();
                Part('R', node, mid, 1 / (c * heat * rate));
                Part('C', mid, "0", c);
            }
        }
    }

    /// <summary>
    /// Shares 4/j² and rates j² of the first zeros, each by itself; then of ever larger groups of zeros, j ≈ (n − ¼)π, one branch a group, whose
    /// share and whose flow at rest, share/rate, are the group's; the last holds what is left of Σ 4/j² = 1 and Σ 4/j⁴ = 1/8 (Rayleigh's sums).
    /// </summary>
    private static IEnumerable<(double Share, double Rate)> Branches()
    {
        double share = 1, rest = 1.0 / 8;
        foreach (double zero in BesselZeros)
        {
            double square = zero * zero;
            share -= 4 / square;
            rest -= 4 / (square * square);
            yield return (4 / square, square);
        }

        for (int first = BesselZeros.Length + 1; first < 100; first *= 2)
        {
            double group = 0, flow = 0;
            for (int n = first; n < 2 * first; n++)
            {
                double square = Math.PI * Math.PI * (n - 0.25) * (n - 0.25);
                group += 4 / square;
                flow += 4 / (square * square);
            }

            share -= group;
            rest -= flow;
            yield return (group, group / flow);
        }

        yield return (share, share / rest);
    }
}
