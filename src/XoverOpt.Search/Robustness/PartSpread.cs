using System.Globalization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// How the parts of a build vary, and single built units drawn from that: the one place where the spread study, the robust ranking, the limits
/// for the test bench and the inspection of built units take it from. Every receiver of a way is a piece of its own, so that of n alike
/// receivers each varies by itself; the deviations of n are not averaged, since unlike receivers also load one another.
/// </summary>
public sealed class PartSpread
{
    private readonly Earpiece _earpiece;
    private readonly SpreadReceiver[] _receivers;

    /// <summary>Looks up what the problem's lists state of the parts.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="problem">The job's lists: spread of receivers, tolerances, cutting step.</param>
    /// <param name="settings">How parts are taken to vary.</param>
    public PartSpread(Earpiece earpiece, Problem problem, SpreadSettings settings)
    {
        _earpiece = earpiece;
        _receivers = [.. earpiece.Ways.Select(way => new SpreadReceiver(way.Receiver, problem.Ear.Air))];
        List<SpreadPart> parts = [];
        List<string> assumed = [];
        for (int i = 0; i < earpiece.Ways.Count; i++)
        {
            Way way = earpiece.Ways[i];
            WayChoice? choice = problem.Ways.FirstOrDefault(other => other.Name == way.Name);
            StockReceiver? stock = problem.Ways.SelectMany(other => other.Receivers).FirstOrDefault(other => other.Receiver.PartNumber == way.Receiver.PartNumber);
            Spread spread = stock?.Spread ?? UsualSpread.Receiver;
            if (stock?.Spread is null)
            {
                Assume(i, $"receiver {way.Receiver.PartNumber} states no spread", $"{spread.SensitivityDb} dB, {spread.ResonancePercent} % in resonance, {spread.DcResistancePercent} % in resistance");
            }

            for (int r = 0; r < way.Count; r++)
            {
                Add(i, r, SpreadKind.Sensitivity, $"receiver {r + 1} sensitivity", spread.SensitivityDb, settings.Receivers);
                Add(i, r, SpreadKind.Resonance, $"receiver {r + 1} resonance", spread.ResonancePercent / 100, settings.Receivers);
                Add(i, r, SpreadKind.DcResistance, $"receiver {r + 1} resistance", spread.DcResistancePercent / 100, settings.Receivers);
            }

            for (int j = 0; j < way.Network.Count; j++)
            {
                NetworkSection section = way.Network[j];
                Tolerance(i, j, SpreadKind.Resistor, "resistor", section.Resistance, problem.PassivesInUse.Resistors);
                Tolerance(i, j, SpreadKind.Capacitor, "capacitor", section.Capacitance, problem.PassivesInUse.Capacitors);
                Tolerance(i, j, SpreadKind.Coil, "coil", section.Inductance, problem.PassivesInUse.Coils);
            }

            Tolerance(i, 0, SpreadKind.Damper, "damper", way.DamperResistance > 0 ? way.DamperResistance : null, choice?.Dampers ?? []);
            for (int j = 0; j < way.Tube.Count; j++)
            {
                Add(i, j, SpreadKind.TubeLength, way.Tube.Count == 1 ? "tube length" : $"tube {j + 1} length", settings.CutError ?? (problem.TubeStep / 2), settings.Cuts);
            }
        }

        Parts = parts;
        Assumed = assumed;

        void Tolerance(int way, int index, SpreadKind kind, string name, double? value, IReadOnlyList<StockValue> list)
        {
            if (value is not { } set)
            {
                return;
            }

            string role = kind == SpreadKind.Damper ? name : $"section {index + 1} {name}";
            StockValue? stock = list.FirstOrDefault(item => Math.Abs(item.Value - set) <= 1e-9 * set);
            double percent = stock?.TolerancePercent ?? UsualSpread.TolerancePercent(kind);
            if (stock?.TolerancePercent is null)
            {
                Assume(way, $"{role} states no tolerance", $"±{percent} %");
            }

            Add(way, index, kind, role, percent / 100, settings.Tolerances);
        }

        void Assume(int way, string unstated, FormattableString taken) =>
            assumed.Add($"{earpiece.Ways[way].Name}: {unstated}; taken as {FormattableString.Invariant(taken)}");

        void Add(int way, int index, SpreadKind kind, string name, double extent, SpreadShape shape)
        {
            if (extent > 0)
            {
                parts.Add(new(string.Create(CultureInfo.InvariantCulture, $"{earpiece.Ways[way].Name} {name}"), kind, way, index, extent, shape));
            }
        }
    }

    /// <summary>What varies.</summary>
    public IReadOnlyList<SpreadPart> Parts { get; }

    /// <summary>Parts of which the drawer states nothing, and what is taken in its place (<see cref="UsualSpread"/>), in words.</summary>
    public IReadOnlyList<string> Assumed { get; }

    /// <summary>The receivers by way, ready to vary.</summary>
    internal IReadOnlyList<SpreadReceiver> Receivers => _receivers;

    /// <summary>Deviations of a unit, in the order of <see cref="Parts"/> and the units of their kinds.</summary>
    public void Draw(ulong seed, long unit, Span<double> deviations)
    {
        for (int q = 0; q < Parts.Count; q++)
        {
            deviations[q] = Parts[q].Draw(seed, unit);
        }
    }

    /// <summary>One built unit. The same seed and number give the same unit, on its own or among others.</summary>
    /// <param name="seed">Seed of all draws.</param>
    /// <param name="unit">Which unit, from 0.</param>
    public SpreadUnit Unit(ulong seed, long unit)
    {
        double[] deviations = new double[Parts.Count];
        Draw(seed, unit, deviations);
        return Unit(deviations);
    }

    /// <summary>The unit that has these deviations, in the order of <see cref="Parts"/>.</summary>
    public SpreadUnit Unit(ReadOnlySpan<double> deviations)
    {
        var ways = new SpreadWay[_earpiece.Ways.Count];
        for (int i = 0; i < ways.Length; i++)
        {
            Way way = _earpiece.Ways[i];
            double damper = way.DamperResistance;
            NetworkSection[] network = [.. way.Network];
            TubeSegment[] tube = [.. way.Tube];
            var pieces = new (double Db, double Resonance, double Resistance)[way.Count];
            Array.Fill(pieces, (0, 1, 1));
            for (int q = 0; q < Parts.Count; q++)
            {
                SpreadPart part = Parts[q];
                double deviation = deviations[q];
                if (part.Way != i)
                {
                    continue;
                }

                int at = part.Index;
                switch (part.Kind)
                {
                    case SpreadKind.Sensitivity:
                        pieces[at].Db = deviation;
                        break;
                    case SpreadKind.Resonance:
                        pieces[at].Resonance = part.Varied(1, deviation);
                        break;
                    case SpreadKind.DcResistance:
                        pieces[at].Resistance = part.Varied(1, deviation);
                        break;
                    case SpreadKind.Resistor:
                        network[at] = network[at] with { Resistance = part.Varied(way.Network[at].Resistance!.Value, deviation) };
                        break;
                    case SpreadKind.Capacitor:
                        network[at] = network[at] with { Capacitance = part.Varied(way.Network[at].Capacitance!.Value, deviation) };
                        break;
                    case SpreadKind.Coil:
                        network[at] = network[at] with { Inductance = part.Varied(way.Network[at].Inductance!.Value, deviation) };
                        break;
                    case SpreadKind.Damper:
                        damper = part.Varied(way.DamperResistance, deviation);
                        break;
                    default:
                        tube[at] = tube[at] with { Length = part.Varied(way.Tube[at].Length, deviation) };
                        break;
                }
            }

            ways[i] = new(
                way with { Network = network, DamperResistance = damper, Tube = tube },
                [.. pieces.Select(piece => _receivers[i].Of(piece.Db, piece.Resonance, piece.Resistance))]);
        }

        return new(ways);
    }
}
