"""A network shape compiled for elimination down to any set of kept nodes."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from circuitcheck.solve.elimination.elimination_order import (
    FloatArray,
    IntArray,
    Program,
    compile_program,
)
from circuitcheck.solve.elimination.elimination_pass import Elimination

CHUNK = 1024  # operating points handled at once; about what a second-level cache holds


def chunks(width: int) -> list[slice]:
    """Slices of a batch axis that are worked on one after the other."""
    return [slice(start, min(start + CHUNK, width)) for start in range(0, width, CHUNK)]


class CompiledShape:
    """n nodes, m branches from a[i] to b[i], and the program that leaves the `kept` nodes.

    Raises ValueError for node numbers outside 0..n_nodes-1 or a node kept twice.
    """

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        kept: tuple[int, ...],
        most_arms: int | None = None,
    ) -> None:
        self.n_nodes = n_nodes
        self.a: IntArray = np.asarray(a, dtype=np.intp).reshape(-1)
        self.b: IntArray = np.asarray(b, dtype=np.intp).reshape(-1)
        if self.a.shape != self.b.shape:
            raise ValueError(f"branch ends differ in number: {self.a.size} and {self.b.size}")
        ends = np.concatenate([self.a, self.b, np.array(kept, dtype=np.intp)])
        if ends.min() < 0 or ends.max() >= n_nodes:
            raise ValueError(f"branch ends must lie in 0..{n_nodes - 1}")
        if len(set(kept)) < len(kept):
            raise ValueError(f"kept nodes {kept} are not all different")
        self.program: Program = compile_program(n_nodes, self.a, self.b, kept, most_arms)
        self.kept = self.program.kept
        is_loop = self.program.branch_edge < 0
        self._is_loop = is_loop if is_loop.any() else None
        self._gather = np.where(is_loop, 0, self.program.branch_edge)
        edge = self.program.branch_edge
        order = np.argsort(edge, kind="stable")
        self._edge_order = order[~is_loop[order]]
        self._edges, starts = np.unique(edge[self._edge_order], return_index=True)
        is_single = self._edges.size == self._edge_order.size
        self._edge_starts = None if is_single else starts

    @property
    def n_branches(self) -> int:
        """Number of branches m."""
        return int(self.a.size)

    def factor(self, conductance: FloatArray) -> Elimination:
        """Run the elimination on conductances (m, batch); the result solves any right-hand side."""
        return Elimination(self, conductance)

    def edge_conductance(self, conductance: FloatArray) -> FloatArray:
        """Conductance of each edge of the simple graph, parallel branches summed, fill-in 0."""
        out = np.zeros((self.program.n_edges, conductance.shape[1]))
        if self._edge_order.size:
            rows = conductance[self._edge_order]
            if self._edge_starts is not None:
                rows = np.add.reduceat(rows, self._edge_starts, axis=0)
            out[self._edges] = rows
        return out

    def branch_values(self, edge_v: FloatArray) -> FloatArray:
        """Voltage across each branch from the voltage across each edge of the simple graph."""
        shape = (-1,) + (1,) * (edge_v.ndim - 1)
        if not self.program.n_edges:
            return np.zeros((self.n_branches, *edge_v.shape[1:]))
        out = edge_v[self._gather] * self.program.branch_sign.reshape(shape)
        if self._is_loop is not None:
            out[self._is_loop] = 0.0
        return out

    def checked(self, conductance: npt.ArrayLike) -> FloatArray:
        """Conductances as (m, batch); raises ValueError unless finite, 0 or more, m of them."""
        g = np.asarray(conductance, dtype=float)
        if g.shape[0] != self.n_branches:
            raise ValueError(f"{g.shape[0]} conductances for {self.n_branches} branches")
        if not (np.isfinite(g).all() and (g >= 0.0).all()):
            raise ValueError("conductances must be finite and 0 or more")
        return g[:, None] if g.ndim == 1 else g


class PortPlan(CompiledShape):
    """A network eliminated down to its ports: a mesh of conductances between the kept nodes.

    Nodes with more than 3 neighbours are kept as further ports: a mesh in their place would be
    larger than the star. `mesh_a`, `mesh_b` (e,) number the ports (places in `kept`) at the ends of
    each mesh branch. For a network in which only what hangs on the ports changes.
    """

    def __init__(
        self, n_nodes: int, a: npt.ArrayLike, b: npt.ArrayLike, ports: tuple[int, ...]
    ) -> None:
        super().__init__(n_nodes, a, b, ports, most_arms=3)
        place = {node: k for k, node in enumerate(self.kept)}
        left = self.program.kept_edges
        self._mesh_edges = np.array([edge for edge, _, _ in left], dtype=np.intp)
        self.mesh_a = np.array([place[u] for _, u, _ in left], dtype=np.intp)
        self.mesh_b = np.array([place[v] for _, _, v in left], dtype=np.intp)

    def mesh(self, factor: Elimination) -> FloatArray:
        """Conductances (e, batch) of the mesh. [S]"""
        return factor.edges[self._mesh_edges]

    def spread(
        self, factor: Elimination, port_v: FloatArray, mesh_v: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Node and branch voltages from those of the ports (p, batch) and mesh (e, batch)."""
        edge_v = np.zeros((self.program.n_edges, port_v.shape[1]))
        edge_v[self._mesh_edges] = mesh_v
        return factor.node_and_branch_v_from(port_v, edge_v)
