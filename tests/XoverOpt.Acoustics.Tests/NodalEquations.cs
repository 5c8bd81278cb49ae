using System.Numerics;
using MathNet.Numerics.LinearAlgebra;

namespace XoverOpt.Acoustics.Tests;

/// <summary>
/// Modified nodal analysis (C.-W. Ho, A. Ruehli, P. Brennan, IEEE Trans. Circuits Syst. 22 (1975) 504): Kirchhoff's current law at
/// every node, one more equation a voltage source, solved as one dense system.
/// </summary>
internal static class NodalEquations
{
    /// <summary>Node voltages at [node] and source currents at [Nodes + source], both numbered from 1.</summary>
    public static Complex[] Solve(EarpieceCircuit circuit, double omega, Air air)
    {
        ControlledSource[] controlled = [.. circuit.Elements.OfType<ControlledSource>()];
        int size = circuit.Nodes + circuit.Sources + controlled.Length;
        Matrix<Complex> equations = Matrix<Complex>.Build.Dense(size + 1, size + 1);
        var right = MathNet.Numerics.LinearAlgebra.Vector<Complex>.Build.Dense(size + 1);
        int next = circuit.Nodes + circuit.Sources;

        foreach (Element element in circuit.Elements)
        {
            switch (element)
            {
                case Part { Kind: 'R' } part:
                    Admit(part, 1 / part.Value);
                    break;
                case Part { Kind: 'L' } part:
                    Admit(part, 1 / new Complex(0, omega * part.Value));
                    break;
                case Part part:
                    Admit(part, new Complex(0, omega * part.Value));
                    break;
                case Branch branch:
                    Admit(branch, 1 / branch.Impedance(omega));
                    break;
                case TubeElement tube:
                    (Complex gamma, Complex zc) = SoundTube.Line(omega, tube.Bore, air);
                    zc /= EarpieceCircuit.FlowScale;
                    Complex self = 1 / (zc * Complex.Tanh(gamma * tube.Length)), across = 1 / (zc * Complex.Sinh(gamma * tube.Length));
                    equations[tube.From, tube.From] += self;
                    equations[tube.To, tube.To] += self;
                    equations[tube.From, tube.To] -= across;
                    equations[tube.To, tube.From] -= across;
                    break;
                case VoltageSource source:
                    Current(source, circuit.Nodes + source.Number);
                    right[circuit.Nodes + source.Number] = source.Value;
                    break;
                case ControlledSource source:
                    Current(source, ++next);
                    equations[next, circuit.Nodes + source.Control] -= source.Gain;
                    break;
                default:
                    throw new NotSupportedException(element.ToString());
            }
        }

        // Ground: its own equation is the sum of the others.
        for (int i = 0; i <= size; i++)
        {
            equations[0, i] = 0;
            equations[i, 0] = 0;
        }

        equations[0, 0] = 1;
        right[0] = 0;
        return [.. equations.LU().Solve(right)];

        void Admit(Element element, Complex admittance)
        {
            equations[element.From, element.From] += admittance;
            equations[element.To, element.To] += admittance;
            equations[element.From, element.To] -= admittance;
            equations[element.To, element.From] -= admittance;
        }

        void Current(Element element, int row)
        {
            equations[element.From, row] += 1;
            equations[element.To, row] -= 1;
            equations[row, element.From] += 1;
            equations[row, element.To] -= 1;
        }
    }
}
