using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// The eardrum SPL at which the first receiver of a built unit meets its travel or current limit, at one frequency and from a stiff source:
/// <see cref="Acoustics.Figures.Headroom"/> for ways whose receivers are not alike. The limits themselves are taken as stated; drawers
/// state no spread of them.
/// <code>
/// behind the joined spouts stand p_m, U_m = (damper · tube) [p; U];  on the leads V or I from the joined receivers
/// in parallel U_i = (V − A_i p_m)/B_i, in series U_i = (I − C_i p_m)/D_i;  coil: C_i p_m + D_i U_i;  diaphragm: front · [p_m; U_i]
/// </code>
/// </summary>
internal sealed class YieldPeaks
{
    private readonly Earpiece _earpiece;
    private readonly double _omega;
    private readonly TwoPort _load;
    private readonly Local[] _ways;

    /// <summary>Prepares a frequency.</summary>
    public YieldPeaks(Earpiece earpiece, Ear ear, double hz)
    {
        _earpiece = earpiece;
        _omega = 2 * Math.PI * hz;
        _load = ear.Matrix(_omega);
        _ways = [.. earpiece.Ways.Select(way => new Local(way, _omega, ear.Air))];
    }

    /// <summary>The SPL, dB re 20 µPa; infinite where no receiver states a limit.</summary>
    public double Spl(KernelWay[] ways, ReceiverPiece[][] pieces)
    {
        Span<TwoPort> networks = stackalloc TwoPort[ways.Length], joined = stackalloc TwoPort[ways.Length], outlets = stackalloc TwoPort[ways.Length];
        Complex drive = 0, acoustic = _load.C / _load.A;
        for (int i = 0; i < ways.Length; i++)
        {
            networks[i] = Network(ways[i]);
            joined[i] = _ways[i].Joined(pieces[i], _earpiece.Ways[i].Wiring);
            outlets[i] = _ways[i].Outlet(ways[i]);
            TwoPort chain = networks[i] * joined[i] * outlets[i];
            drive += ways[i].Sign / chain.B;
            acoustic += chain.A / chain.B;
        }

        Complex p = drive / acoustic;
        double most = double.PositiveInfinity;
        for (int i = 0; i < ways.Length; i++)
        {
            TwoPort behind = joined[i] * outlets[i], chain = networks[i] * behind;
            Complex flow = (ways[i].Sign - (chain.A * p)) / chain.B;
            Complex spoutPressure = (outlets[i].A * p) + (outlets[i].B * flow);
            bool parallel = _earpiece.Ways[i].Wiring == Wiring.Parallel;
            Complex leads = parallel ? (behind.A * p) + (behind.B * flow) : (behind.C * p) + (behind.D * flow);
            Receiver receiver = _earpiece.Ways[i].Receiver;
            foreach (ReceiverPiece piece in pieces[i])
            {
                TwoPort one = _ways[i].Piece(piece);
                Complex own = parallel ? (leads - (one.A * spoutPressure)) / one.B : (leads - (one.C * spoutPressure)) / one.D;
                double current = Complex.Abs((one.C * spoutPressure) + (one.D * own));
                double travel = Math.Sqrt(2) * Complex.Abs((_ways[i].Front.C * spoutPressure) + (_ways[i].Front.D * own)) / (_omega * receiver.DiaphragmArea);
                most = Math.Min(most, Math.Min(receiver.TravelLimit / travel ?? double.PositiveInfinity, receiver.CurrentLimit / current ?? double.PositiveInfinity));
            }
        }

        return 20 * Math.Log10(Complex.Abs(p / _load.A) * most / 20e-6);
    }

    private TwoPort Network(KernelWay way)
    {
        TwoPort chain = TwoPort.Identity;
        for (int j = 0; j < way.Places.Length; j++)
        {
            var z = new Complex(way.Resistances[j] + way.Losses[j], (_omega * way.Inductances[j]) - (1 / (_omega * way.Capacitances[j])));
            chain *= way.Places[j] == SectionPlace.Series ? TwoPort.Series(z) : TwoPort.Shunt(Complex.Reciprocal(z));
        }

        return chain;
    }

    /// <summary>What of a way is the same for every unit, at the frequency.</summary>
    private sealed class Local(Way way, double omega, Air air)
    {
        private readonly Complex _reactive = way.Receiver.CoilImpedance(omega) - way.Receiver.DcResistance;
        private readonly Complex _mechanical = way.Receiver.MechanicalImpedance(omega, air) - new Complex(0, omega * way.Receiver.Mass);
        private readonly (Complex Gamma, Complex Zc)[] _tubes = [.. way.Tube.Select(piece => SoundTube.Line(omega, piece.Bore, air))];

        public TwoPort Front { get; } = TwoPort.Shunt(new Complex(0, omega * way.Receiver.FrontVolume / air.BulkModulus))
            * SoundTube.Matrix(omega, way.Receiver.SpoutLength, way.Receiver.SpoutBore, air);

        public TwoPort Piece(ReceiverPiece piece)
        {
            double T = piece.ForceFactor, S = way.Receiver.DiaphragmArea;
            Complex ze = piece.DcResistance + _reactive, zm = _mechanical + new Complex(0, omega * piece.Mass);
            return new TwoPort(ze * (S / T), (ze * zm / (T * S)) + (T / S), S / T, zm / (T * S)) * Front;
        }

        public TwoPort Joined(ReceiverPiece[] pieces, Wiring wiring)
        {
            if (pieces.Length == 1)
            {
                return Piece(pieces[0]);
            }

            return TwoPort.Joined(pieces.Select(Piece), wiring);
        }

        public TwoPort Outlet(KernelWay varied)
        {
            TwoPort chain = TwoPort.Series(varied.Damper);
            for (int j = 0; j < _tubes.Length; j++)
            {
                (Complex gamma, Complex zc) = _tubes[j];
                Complex cosh = Complex.Cosh(gamma * varied.Lengths[j]), sinh = Complex.Sinh(gamma * varied.Lengths[j]);
                chain *= new TwoPort(cosh, zc * sinh, sinh / zc, cosh);
            }

            return chain;
        }
    }
}
